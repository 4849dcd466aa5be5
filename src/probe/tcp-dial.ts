/** One TCP connection, however many SYNs it takes. */
import { connect, type Socket } from 'node:net';
import { performance } from 'node:perf_hooks';
import { INTERRUPTED, type Refusal, refusalOf } from './refusal.js';
import type { Patience } from './types.js';

export type Dialled =
  | { readonly outcome: 'accepted'; readonly socket: Socket; readonly connectMs: number }
  | { readonly outcome: 'no-reply'; readonly cause: 'timeout'; readonly detail?: undefined }
  | Refusal;

export type Dial = (
  target: { readonly address: string; readonly port: number },
  patience: Patience,
  signal: AbortSignal,
) => Promise<Dialled>;

/**
 * Tries that overlap: each `timeoutMs` another connection is started while the earlier ones still hang, so that a lost SYN
 * costs one patience and not the kernel's doubling back-off (RFC 6298 §5.5), and a slow answer to the first still counts.
 * The first that is accepted or refused decides; an ICMP error decides only when nothing better comes within its own try,
 * since RFC 1122 §3.2.2.1 calls codes 0, 1 and 5 hints. The caller owns the socket it gets; all others are destroyed.
 */
export const dial: Dial = (target, patience, signal) => {
  if (signal.aborted) return Promise.resolve(INTERRUPTED);
  return new Promise((resolve) => {
    const tries = new Set<Socket>();
    const attempts = Math.max(1, patience.attempts);
    let started = 0;
    let given = false;
    let lastRefusal: Refusal | undefined;
    let timer: NodeJS.Timeout | undefined;

    const finish = (result: Dialled, keep?: Socket) => {
      clearTimeout(timer);
      signal.removeEventListener('abort', onAbort);
      for (const socket of tries) {
        if (socket !== keep) socket.destroy();
      }
      tries.clear();
      resolve(result);
    };
    const onAbort = () => finish(INTERRUPTED);

    const next = () => {
      if (given) {
        finish(lastRefusal ?? { outcome: 'no-reply', cause: 'timeout' });
        return;
      }
      // Each further try is decided on when the one before has had its time: who asks may know more by then.
      if (started >= attempts && patience.more?.(started) !== true) {
        const waitedMs = started === 0 ? 0 : patience.timeoutMs;
        given = true;
        timer = setTimeout(next, Math.max(0, (patience.lastMs ?? patience.timeoutMs) - waitedMs));
        return;
      }
      started += 1;
      timer = setTimeout(next, patience.timeoutMs);
      begin(started);
    };

    const begin = (number: number) => {
      const startedAt = performance.now();
      const socket = open(target);
      if (!('once' in socket)) {
        finish(socket);
        return;
      }
      tries.add(socket);
      // Stays for the life of the socket: a reset between two owners must not bring the program down.
      socket.on('error', ignore);
      socket.once('connect', () => {
        if (!tries.has(socket)) return;
        patience.answered?.(number);
        finish({ outcome: 'accepted', socket, connectMs: round(performance.now() - startedAt) }, socket);
      });
      socket.once('error', (error) => {
        if (!tries.delete(socket)) return;
        const refusal = refusalOf(error);
        if (refusal.outcome === 'refused') patience.answered?.(number);
        if (refusal.outcome === 'refused' || refusal.outcome === 'not-run') finish(refusal);
        else lastRefusal = refusal;
        if (lastRefusal !== undefined && tries.size === 0 && (given || started >= attempts))
          finish(lastRefusal);
      });
    };

    signal.addEventListener('abort', onAbort, { once: true });
    next();
  });
};

function open(target: { readonly address: string; readonly port: number }): Socket | Refusal {
  try {
    return connect({ host: target.address, port: target.port, autoSelectFamily: false });
  } catch (error) {
    return refusalOf(error);
  }
}

/**
 * Nothing was said and nothing is waited for: a reset frees the device of the connection at once (RFC 9293 §3.10.5), where an orderly end
 * takes more frames and leaves a small management processor with a half-closed one.
 */
export function closeAtOnce(socket: Socket): void {
  socket.resetAndDestroy();
}

function ignore(): void {}

/** Milliseconds with microseconds kept. */
export function round(ms: number): number {
  return Math.round(ms * 1000) / 1000;
}
