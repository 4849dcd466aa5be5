/** A clock that moves when somebody sleeps; what is due at a time happens on the way there, in order. */
import type { Clock } from '../../src/probe/types.js';
import type { Sleep } from '../../src/run/pace.js';

export interface FakeTime {
  readonly clock: Clock;
  readonly sleep: Sleep;
  at(milliseconds: number, act: () => void): void;
}

export function fakeTime(): FakeTime {
  let now = 0;
  const due: { readonly atMs: number; readonly act: () => void }[] = [];
  return {
    clock: { now: () => now, date: () => new Date(Date.UTC(2030, 0, 2) + now) },
    sleep: async (milliseconds) => {
      const until = now + milliseconds;
      due.sort((a, b) => a.atMs - b.atMs);
      for (let next = due[0]; next !== undefined && next.atMs <= until; next = due[0]) {
        due.shift();
        now = Math.max(now, next.atMs);
        next.act();
      }
      now = until;
      // Lets promises that hang on what happened settle before the sleeper goes on.
      await new Promise((resolve) => setImmediate(resolve));
    },
    at: (atMs, act) => {
      due.push({ atMs, act });
    },
  };
}
