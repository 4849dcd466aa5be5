/** Ends on top of a signal. */
import type { Patience } from './types.js';

export interface Within {
  /** Aborts with the outer signal, or by `end`. */
  readonly signal: AbortSignal;
  /** Aborts now, and lets go of the outer signal. */
  end(): void;
}

/**
 * The caller calls `end` in every case. Not `AbortSignal.any`: of what that makes, Node 20 keeps a kilobyte for as long as the outer signal
 * lives, which in `follow` is hours.
 */
export function within(outer: AbortSignal): Within {
  const controller = new AbortController();
  const end = () => {
    outer.removeEventListener('abort', end);
    controller.abort();
  };
  outer.addEventListener('abort', end, { once: true });
  if (outer.aborted) end();
  return { signal: controller.signal, end };
}

export interface Bound {
  /** Aborts with the outer signal or when the time is up. */
  readonly signal: AbortSignal;
  /** The time was up, and not the outer signal. */
  readonly reached: () => boolean;
  /** The time is of no matter any more; the outer signal is. */
  lift(): void;
  /** Aborts now: all that is still under way is of no use. */
  end(): void;
}

/** The caller calls `end` in every case, so that no timer outlives the work. */
export function bounded(outer: AbortSignal, limitMs: number): Bound {
  const inner = within(outer);
  let reached = false;
  const timer = setTimeout(() => {
    reached = !inner.signal.aborted;
    inner.end();
  }, limitMs);
  const lift = () => clearTimeout(timer);
  inner.signal.addEventListener('abort', lift, { once: true });
  if (inner.signal.aborted) lift();
  return { signal: inner.signal, reached: () => reached, lift, end: inner.end };
}

/** How long a conversation may take over a connection that stands, in milliseconds. */
export interface TalkLimits {
  /** Longest silence. */
  readonly idleMs: number;
  readonly totalMs: number;
}

/**
 * Once a connection stands, TCP itself repeats what gets lost, and asking again would change nothing: a peer that says nothing costs one
 * patience, one that goes on talking costs two, or what is left of its device's time.
 */
export function talkLimits({ timeoutMs, talkMs = Number.POSITIVE_INFINITY }: Patience): TalkLimits {
  return { idleMs: timeoutMs, totalMs: Math.min(talkMs, 2 * timeoutMs) };
}
