/** How a POSIX shell tells that it could not run a program (XCU 2.8.2: 127 not found, 126 not executable). Pure. */
import type { ProgramResult } from '../system/program-types.js';

export function failureOfShell(exitCode: number, output: string): ProgramResult | undefined {
  if (exitCode === 127 && /not found|No such file/i.test(output))
    return { ran: false, why: 'not-found', detail: '' };
  if (exitCode === 126) return { ran: false, why: 'not-permitted', detail: '' };
  return Number.isInteger(exitCode) ? undefined : { ran: false, why: 'failed', detail: 'no exit status' };
}
