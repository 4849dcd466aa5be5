/**
 * First questions in great number by one program beside this one: it is told what to ask, a line each, and tells what came of it. Starting
 * a program for each costs some milliseconds of Node's only thread.
 */
import type { ChildProcess } from 'node:child_process';
import type { Writable } from 'node:stream';

/** `unknown`: it could not be told; ask by a ping of its own. */
export type BatchedEcho = { readonly rttMs: number } | 'silent' | 'unknown';
/** The same of a connection. */
export type BatchedConnection = BatchedEcho | 'refused';

export interface Batch<Answer> {
  /** `line`: an address, and the port where there is one. */
  ask(line: string, signal: AbortSignal): Promise<Answer | 'unknown'>;
  /** The program has ended: nothing more can be asked of it. */
  over(): boolean;
}

/** How the program is started, and how its words are read. */
export interface BatchProgram<Answer> {
  /** Undefined where it has no pipes, because it could not be started. */
  readonly start: (waitSeconds: number) => BatchProcess | undefined;
  readonly reader: (settle: (line: string, answer: Answer) => void) => (text: string) => void;
}

/** What the batch needs of a child process; tests pass their own. */
export interface BatchProcess {
  readonly stdin: Pick<Writable, 'write'>;
  onText(take: (text: string) => void): void;
  onEnd(end: () => void): void;
  /** Whether it keeps this program from ending. */
  hold(held: boolean): void;
}

/** What neither came back nor was given up by then is asked for in another way, in milliseconds. */
const GIVE_UP_MS = 15_000;
/** Longest part of an output line that is kept, in characters. */
const LINE_LIMIT = 4096;

/** Gives whole lines on, however the pipe cuts them. */
export function byLines(take: (line: string) => void): (text: string) => void {
  let rest = '';
  return (text) => {
    const lines = (rest + text).split('\n');
    rest = (lines.pop() ?? '').slice(-LINE_LIMIT);
    for (const line of lines) take(line);
  };
}

/** What a child with open pipes is to a batch. */
export function batchProcess(child: ChildProcess): BatchProcess | undefined {
  const { stdin, stdout } = child;
  if (stdin === null || stdout === null) return undefined;
  stdin.on('error', () => {});
  stdout.setEncoding('utf8');
  const handles: unknown[] = [child, stdin, stdout];
  return {
    stdin,
    onText: (take) => stdout.on('data', take),
    onEnd: (end) => {
      child.once('error', end);
      child.once('exit', end);
    },
    hold: (held) => {
      for (const handle of handles.filter(isHolding)) held ? handle.ref() : handle.unref();
    },
  };
}

function isHolding(handle: unknown): handle is { ref(): void; unref(): void } {
  return typeof handle === 'object' && handle !== null && 'ref' in handle && 'unref' in handle;
}

export function createBatch<Answer>(
  process: BatchProcess,
  reader: BatchProgram<Answer>['reader'],
): Batch<Answer> {
  const waiting = new Map<string, (answer: Answer | 'unknown') => void>();
  let over = false;
  const settle = (line: string, answer: Answer | 'unknown'): void => {
    waiting.get(line)?.(answer);
    waiting.delete(line);
    if (waiting.size === 0) process.hold(false);
  };
  process.onText(reader(settle));
  process.onEnd(() => {
    over = true;
    for (const line of [...waiting.keys()]) settle(line, 'unknown');
  });
  process.hold(false);
  // What is asked in one turn goes out in one piece: each write wakes the other side.
  const lines: string[] = [];
  const send = (): void => {
    process.stdin.write(`${lines.splice(0).join('\n')}\n`);
  };
  return {
    over: () => over,
    ask: (line, signal) => {
      // One question of a kind at a time: the answers are told apart by it.
      if (over || signal.aborted || waiting.has(line)) return Promise.resolve('unknown');
      return new Promise((resolve) => {
        const giveUp = (): void => settle(line, 'unknown');
        const timer = setTimeout(giveUp, GIVE_UP_MS);
        signal.addEventListener('abort', giveUp, { once: true });
        waiting.set(line, (answer) => {
          clearTimeout(timer);
          signal.removeEventListener('abort', giveUp);
          resolve(answer);
        });
        process.hold(true);
        if (lines.push(line) === 1) setImmediate(send);
      });
    },
  };
}
