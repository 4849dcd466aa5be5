import type { Clock } from '../../src/probe/types.js';
import { openSystem } from '../../src/system/open.js';
import type { ProgramResult, ProgramStream, Programs } from '../../src/system/program-types.js';
import type { System, SystemDeps } from '../../src/system/types.js';

export const NOT_FOUND: ProgramResult = { ran: false, why: 'not-found', detail: 'ENOENT' };
export const NOT_PERMITTED: ProgramResult = { ran: false, why: 'not-permitted', detail: 'EPERM' };

export function printed(stdout: string, more: { exitCode?: number; stderr?: string } = {}): ProgramResult {
  return { ran: true, exitCode: 0, stderr: '', timedOut: false, stdout, ...more };
}

/** A system whose programs, ports and files are these; an ordinary user's Linux without any where nothing is said. */
export function aSystem(programs: Programs, more: Partial<SystemDeps> = {}): System {
  return openSystem({
    programs,
    platform: 'linux',
    networkInterfaces: () => ({}),
    effectiveUser: () => 1000,
    readText: async () => undefined,
    ...more,
  });
}

type Answer = ProgramResult | ((args: readonly string[]) => ProgramResult);

export interface FakePrograms extends Programs {
  readonly calls: string[];
}

/** Programs by name; what is not named is not installed. `streams` are for `start`. */
export function fakePrograms(
  answers: Readonly<Record<string, Answer>>,
  streams: Readonly<Record<string, (args: readonly string[]) => ProgramStream | ProgramResult>> = {},
): FakePrograms {
  const calls: string[] = [];
  return {
    calls,
    run: async (command, args) => {
      calls.push([command, ...args].join(' '));
      const answer = answers[command] ?? NOT_FOUND;
      return typeof answer === 'function' ? answer(args) : answer;
    },
    start: (command, args) => {
      calls.push(`start ${[command, ...args].join(' ')}`);
      return streams[command]?.(args) ?? NOT_FOUND;
    },
  };
}

/** A program that writes these chunks, then goes on until it is stopped (or ends at once). */
export function fakeStream(
  chunks: readonly Uint8Array[],
  more: { stderr?: string; endsAtOnce?: boolean; restAfterMs?: number } = {},
): ProgramStream {
  let stop = (): void => {};
  const stopped = new Promise<void>((resolve) => {
    stop = resolve;
  });
  const over = more.endsAtOnce === true ? Promise.resolve() : stopped;
  async function* bytes(): AsyncIterable<Uint8Array> {
    yield* chunks.slice(0, 1);
    if (more.restAfterMs !== undefined) await new Promise((resolve) => setTimeout(resolve, more.restAfterMs));
    yield* chunks.slice(1);
    await over;
  }
  return {
    stdout: bytes(),
    stderr: () => more.stderr ?? '',
    ended: over.then(() => (more.endsAtOnce === true ? 1 : undefined)),
    stop,
  };
}

export const CLOCK: Clock = { now: () => performance.now(), date: () => new Date() };

/** A PowerShell that is asked by lines, for `streams` of fakePrograms. `answer` gives what a line prints; undefined: it ends there. */
export function fakeShell(answer: (line: string) => string | undefined): {
  readonly start: () => ProgramStream;
  readonly starts: () => number;
  readonly lines: string[];
} {
  const lines: string[] = [];
  let starts = 0;
  const start = (): ProgramStream => {
    starts += 1;
    const chunks: Uint8Array[] = [];
    let over = false;
    let wake = (): void => {};
    const push = (text: string): void => {
      chunks.push(Buffer.from(text));
      wake();
    };
    const stop = (): void => {
      over = true;
      wake();
    };
    async function* bytes(): AsyncIterable<Uint8Array> {
      for (;;) {
        const chunk = chunks.shift();
        if (chunk !== undefined) yield chunk;
        else if (over) return;
        else
          await new Promise<void>((resolve) => {
            wake = resolve;
          });
      }
    }
    return {
      stdout: bytes(),
      stderr: () => '',
      ended: Promise.resolve(1),
      stop,
      write: (text) => {
        const [, begin, line = '', end] = /^'([^']+)';try\{(.*)\}catch\{\};'([^']+)'\n$/s.exec(text) ?? [];
        if (begin === undefined) return;
        lines.push(line);
        const printed = answer(line);
        if (printed === undefined) stop();
        else push(`${begin}\r\n${printed}\r\n${end}\r\n`);
      },
    };
  };
  return { start, starts: () => starts, lines };
}
