/**
 * How many services of each device took a connection and then kept silent for their whole patience. A device with many of them hangs:
 * each further one is waited for briefly, so that no device alone costs a run more than some ten seconds.
 */
import type { Patience } from '../probe/types.js';

export interface HungServices {
  /** What a service of the device is waited for: the patience, or a short one where as many as are asked at a time kept silent. */
  patienceFor(device: string, patience: Patience): Patience;
  /** One more kept silent. */
  add(device: string): void;
}

/** As many as are asked of one device at a time (pace.ts). */
const MANY = 6;
/** Whoever answers at all does so well within (common practice, no source). */
const BRIEF_MS = 1_000;

export function createHungServices(): HungServices {
  const counts = new Map<string, number>();
  return {
    patienceFor: (device, patience) =>
      (counts.get(device) ?? 0) < MANY
        ? patience
        : { ...patience, timeoutMs: Math.min(patience.timeoutMs, BRIEF_MS) },
    add: (device) => void counts.set(device, (counts.get(device) ?? 0) + 1),
  };
}
