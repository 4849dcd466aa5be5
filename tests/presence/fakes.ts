import type { Clock, ProgramResult, ProgramStream, Programs } from '../../src/probe/types.js';

export const NOT_FOUND: ProgramResult = { ran: false, why: 'not-found', detail: 'ENOENT' };
export const NOT_PERMITTED: ProgramResult = { ran: false, why: 'not-permitted', detail: 'EPERM' };

export function printed(stdout: string, more: { exitCode?: number; stderr?: string } = {}): ProgramResult {
  return { ran: true, exitCode: 0, stderr: '', timedOut: false, stdout, ...more };
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
