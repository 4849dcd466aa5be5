/**
 * First echoes in great number: one small program (xargs) starts a ping each, so that Node starts one program and not hundreds. Starting
 * a program from Node costs some milliseconds of its only thread; xargs has a megabyte and starts one in a fraction of that.
 */
import { spawn } from 'node:child_process';
import type { Writable } from 'node:stream';

/** `unknown`: it could not be told; ask by a ping of its own. */
export type BatchedEcho = { readonly rttMs: number } | 'silent' | 'unknown';

export interface EchoBatch {
  ask(address: string, signal: AbortSignal): Promise<BatchedEcho>;
}

/** What the batch needs of a child process; tests pass their own. */
export interface BatchProcess {
  readonly stdin: Pick<Writable, 'write'>;
  onText(take: (text: string) => void): void;
  onEnd(end: () => void): void;
  /** Whether it keeps this program from ending. */
  hold(held: boolean): void;
}

/** Pings at a time. */
const AT_A_TIME = 96;
/** An echo that neither came back nor was given up by then is asked for in another way, in milliseconds. */
const GIVE_UP_MS = 15_000;
/** Longest part of an output line that is kept, in characters. */
const LINE_LIMIT = 4096;

export function startXargs(waitSeconds: number): BatchProcess {
  const ping = ['ping', '-n', '-q', '-c', '1', '-W', String(waitSeconds)];
  const child = spawn('xargs', ['-n', '1', '-P', String(AT_A_TIME), ...ping], {
    stdio: ['pipe', 'pipe', 'ignore'],
    env: { ...process.env, LC_ALL: 'C' },
  });
  child.stdin.on('error', () => {});
  child.stdout.setEncoding('utf8');
  const handles: unknown[] = [child, child.stdin, child.stdout];
  return {
    stdin: child.stdin,
    onText: (take) => child.stdout.on('data', take),
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

export function createEchoBatch(process: BatchProcess): EchoBatch {
  const waiting = new Map<string, (echo: BatchedEcho) => void>();
  let over = false;
  const settle = (address: string, echo: BatchedEcho): void => {
    waiting.get(address)?.(echo);
    waiting.delete(address);
    if (waiting.size === 0) process.hold(false);
  };
  process.onText(blockReader(settle));
  process.onEnd(() => {
    over = true;
    for (const address of [...waiting.keys()]) settle(address, 'unknown');
  });
  process.hold(false);
  // What is asked in one turn goes out in one piece: each write wakes the other side.
  const lines: string[] = [];
  const send = (): void => {
    process.stdin.write(`${lines.splice(0).join('\n')}\n`);
  };
  return {
    ask: (address, signal) => {
      // One question an address at a time: the answers are told apart by it.
      if (over || signal.aborted || waiting.has(address)) return Promise.resolve('unknown');
      return new Promise((resolve) => {
        const giveUp = (): void => settle(address, 'unknown');
        const timer = setTimeout(giveUp, GIVE_UP_MS);
        signal.addEventListener('abort', giveUp, { once: true });
        waiting.set(address, (echo) => {
          clearTimeout(timer);
          signal.removeEventListener('abort', giveUp);
          resolve(echo);
        });
        process.hold(true);
        if (lines.push(address) === 1) setImmediate(send);
      });
    },
  };
}

/**
 * Many pings write into one pipe. What iputils prints at the end (`--- A ping statistics ---`, counts, times) is one write of less than
 * PIPE_BUF, which no other write comes between (POSIX write(2)).
 */
export function blockReader(settle: (address: string, echo: BatchedEcho) => void): (text: string) => void {
  let rest = '';
  let address: string | undefined;
  const take = (line: string): void => {
    const head = /^--- (\S+) ping statistics ---$/.exec(line)?.[1];
    if (head !== undefined) {
      address = head;
      return;
    }
    if (address === undefined) return;
    const counts = /^\d+ packets transmitted, (\d+) received(, \+\d+ errors)?/.exec(line);
    if (counts !== null) {
      // An ICMP error is a fact of its own, which only a ping with its lines can tell.
      if (counts[1] === '0') settle(address, counts[2] === undefined ? 'silent' : 'unknown');
      if (counts[1] === '0') address = undefined;
      return;
    }
    const least = /^rtt min\/avg\/max\/mdev = (\d+(?:\.\d+)?)\//.exec(line)?.[1];
    if (least === undefined) return;
    settle(address, { rttMs: Number(least) });
    address = undefined;
  };
  return (text) => {
    const lines = (rest + text).split('\n');
    rest = (lines.pop() ?? '').slice(-LINE_LIMIT);
    for (const line of lines) take(line);
  };
}
