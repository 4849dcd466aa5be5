/**
 * A conversation over one TCP connection, message by message: a framer cuts what comes, a listener answers. It owns the timers and
 * always leaves the socket destroyed.
 */
import type { Socket } from 'node:net';
import type { Cause } from '../sighting/types.js';
import { type ByteQueue, createByteQueue } from '../wire/byte-queue.js';
import type { TalkLimits } from './bound.js';
import { errorCode } from './refusal.js';

/** How a conversation ended that the listener did not end itself. */
export type Ending =
  | 'timeout'
  /** The peer closed the connection. */
  | 'closed'
  /** The peer broke it off. */
  | 'reset'
  | 'interrupted';

export interface Conversation<Result> {
  /** Sent at once. */
  readonly opening?: Uint8Array | undefined;
  /** Called with all that waits whenever more came; takes whole messages off the queue. A result ends the conversation. */
  readonly onBytes: (queue: ByteQueue, line: Line) => Result | undefined;
  /** The conversation ended without a result; `queue` holds what was not taken. */
  readonly onEnd: (ending: Ending, queue: ByteQueue) => Result;
}

export interface Line {
  send(bytes: Uint8Array): void;
  /** All that matters was said: wait at most this long for the rest, in milliseconds. */
  hurry(ms: number): void;
}

export function converse<Result>(
  socket: Socket,
  { opening, onBytes, onEnd }: Conversation<Result>,
  { idleMs, totalMs }: TalkLimits,
  signal: AbortSignal,
): Promise<Result> {
  return new Promise((resolve) => {
    const queue = createByteQueue();
    let over = false;
    let hurried = false;
    const finish = (result: Result) => {
      if (over) return;
      over = true;
      clearTimeout(idle);
      clearTimeout(total);
      signal.removeEventListener('abort', onAbort);
      socket.destroy();
      resolve(result);
    };
    const end = (ending: Ending) => () => finish(onEnd(ending, queue));
    const onAbort = end('interrupted');
    let total = setTimeout(end('timeout'), totalMs);
    let idle = setTimeout(end('timeout'), idleMs);
    signal.addEventListener('abort', onAbort, { once: true });
    const line: Line = {
      send: (bytes) => {
        if (!over && socket.writable) socket.write(bytes);
      },
      hurry: (ms) => {
        if (over || hurried) return;
        hurried = true;
        clearTimeout(total);
        total = setTimeout(end('timeout'), ms);
      },
    };
    socket.on('data', (chunk: Uint8Array) => {
      if (over) return;
      queue.push(chunk);
      const result = onBytes(queue, line);
      if (result !== undefined) {
        finish(result);
      } else {
        clearTimeout(idle);
        idle = setTimeout(end('timeout'), idleMs);
      }
    });
    socket.once('end', end('closed'));
    socket.once('close', end('closed'));
    socket.once('error', (error) =>
      finish(onEnd(errorCode(error) === 'ETIMEDOUT' ? 'timeout' : 'reset', queue)),
    );
    if (signal.aborted) onAbort();
    else if (opening !== undefined) line.send(opening);
  });
}

/** Why a peer that took the connection gave no answer at all. */
export const WORDLESS: Readonly<Record<Exclude<Ending, 'interrupted'>, Cause>> = {
  timeout: 'accepted-and-silent',
  closed: 'closed-without-answer',
  reset: 'reset',
};

const HOW: Readonly<Record<Exclude<Ending, 'interrupted'>, string>> = {
  timeout: 'no answer to the question',
  closed: 'closed without an answer',
  reset: 'broken off without an answer',
};

export function wordless(ending: Exclude<Ending, 'interrupted'>): string {
  return `connected, then ${HOW[ending]}`;
}
