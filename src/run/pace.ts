/** The one place that decides how fast a run may ask: a ceiling for the run and one for each device (DESIGN 5). */
import pLimit from 'p-limit';
import type { Clock } from '../probe/types.js';

export interface PaceLimits {
  readonly runConcurrent: number;
  readonly runPerSecond: number;
  /** Small management processors fall over before the network does. */
  readonly deviceConcurrent: number;
  readonly devicePerSecond: number;
}

export const DEFAULT_PACE: PaceLimits = {
  runConcurrent: 192,
  runPerSecond: 800,
  deviceConcurrent: 6,
  devicePerSecond: 25,
};

export interface Pacer {
  /** Runs `work` when the device and the run both have room; rejects only as `work` does. */
  run<T>(device: string, work: () => Promise<T>): Promise<T>;
}

export type Sleep = (milliseconds: number, signal: AbortSignal) => Promise<void>;

export function createPacer(limits: PaceLimits, clock: Clock, sleep: Sleep, signal: AbortSignal): Pacer {
  const runLimit = pLimit(limits.runConcurrent);
  const runTurn = turns(limits.runPerSecond, clock);
  const devices = new Map<string, { limit: ReturnType<typeof pLimit>; turn: () => number }>();
  return {
    run(device, work) {
      let room = devices.get(device);
      if (room === undefined) {
        room = { limit: pLimit(limits.deviceConcurrent), turn: turns(limits.devicePerSecond, clock) };
        devices.set(device, room);
      }
      const { limit, turn } = room;
      return limit(async () => {
        await sleep(turn(), signal);
        return runLimit(async () => {
          await sleep(runTurn(), signal);
          return work();
        });
      });
    },
  };
}

/** Gives each caller how long it has to wait for its turn, `perSecond` turns a second, with a burst of a quarter second. */
function turns(perSecond: number, clock: Clock): () => number {
  const everyMs = 1000 / perSecond;
  const burstMs = 250;
  let next = Number.NEGATIVE_INFINITY;
  return () => {
    const now = clock.now();
    next = Math.max(next, now - burstMs) + everyMs;
    return Math.max(0, next - now);
  };
}

/** Waits, but no longer than until the signal aborts. */
export function realSleep(milliseconds: number, signal: AbortSignal): Promise<void> {
  if (milliseconds <= 0 || signal.aborted) return Promise.resolve();
  return new Promise((resolve) => {
    const done = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', done);
      resolve();
    };
    const timer = setTimeout(done, milliseconds);
    signal.addEventListener('abort', done, { once: true });
  });
}
