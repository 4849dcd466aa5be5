/** Runs a program in a lab host and measures it from /proc (proc(5)): wall time, processor time, largest memory. */
import { readFileSync } from 'node:fs';
import type { LabHost } from '../lab/support/lab.js';
import type { RunOptions } from '../lab/support/run.js';

export interface Measured {
  readonly wallS: number;
  /** Of the program and of all it started and waited for. */
  readonly cpuS: number;
  /** Of the program itself. */
  readonly peakMb: number;
  readonly exitCode: number | null;
  readonly output: string;
}

const LOOK_EVERY_MS = 50;
/** sysconf(_SC_CLK_TCK) on Linux. */
const TICKS_A_SECOND = 100;

export async function measure(
  host: LabHost,
  command: string,
  args: readonly string[],
  options: RunOptions & { readonly input?: string } = {},
): Promise<Measured> {
  const startedAt = performance.now();
  const running = host.start(command, args, options);
  running.child.stdin?.end(options.input ?? '');
  let cpuS = 0;
  let peakMb = 0;
  const look = (): void => {
    try {
      // `ip netns exec` becomes the program: the same process.
      const at = `/proc/${running.child.pid}`;
      const fields = readFileSync(`${at}/stat`, 'utf8')
        .replace(/^.*\) /s, '')
        .split(' ');
      cpuS = [11, 12, 13, 14].reduce((sum, field) => sum + Number(fields[field]), 0) / TICKS_A_SECOND;
      const peak = /^VmHWM:\s+(\d+) kB/m.exec(readFileSync(`${at}/status`, 'utf8'))?.[1];
      if (peak !== undefined) peakMb = Number(peak) / 1024;
    } catch {
      // It ended in between.
    }
  };
  const timer = setInterval(look, LOOK_EVERY_MS);
  const exitCode = await new Promise<number | null>((resolve) => running.child.on('close', resolve));
  clearInterval(timer);
  return { wallS: (performance.now() - startedAt) / 1000, cpuS, peakMb, exitCode, output: running.output() };
}
