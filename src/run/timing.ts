/** When a look began and ended by the wall clock, which somebody may set meanwhile. Pure but for the clock it is given. */
import type { Clock } from '../probe/types.js';

export interface Timing {
  /** ISO 8601, UTC. */
  readonly startedAt: string;
  /** Now, but never sooner than the time that has passed by a clock that nobody sets; that one stands still while a laptop sleeps. */
  finishedAt(): string;
}

export function startTiming(clock: Clock): Timing {
  const started = clock.date();
  const beganMs = clock.now();
  return {
    startedAt: started.toISOString(),
    finishedAt: () => {
      const passed = started.getTime() + Math.max(0, clock.now() - beganMs);
      return new Date(Math.max(clock.date().getTime(), passed)).toISOString();
    },
  };
}
