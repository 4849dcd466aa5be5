/** What `follow` keeps while it goes on (issue 13.13): a clock of our own, so that nothing waits. */
import { expect, test } from 'vitest';
import { keepLooks } from '../../src/cli/kept-looks.js';

/** Writing takes `takesMs` of a clock that moves only there and in rests. */
function world(takesMs: number, refuse: (seen: string) => boolean = () => false) {
  let nowMs = 0;
  const written: string[] = [];
  const rests: number[] = [];
  const faults: unknown[] = [];
  let wake = (): void => {};
  const kept = keepLooks<string>({
    write: async (seen) => {
      nowMs += takesMs;
      if (refuse(seen)) throw new Error(seen);
      written.push(seen);
    },
    onFault: (error) => faults.push(error),
    now: () => nowMs,
    sleep: (milliseconds, signal) => {
      rests.push(milliseconds);
      if (signal.aborted) return Promise.resolve();
      return new Promise((resolve) => {
        wake = resolve;
        signal.addEventListener('abort', () => resolve(), { once: true });
      });
    },
  });
  const settle = () => new Promise((resolve) => setImmediate(resolve));
  return {
    kept,
    written,
    rests,
    faults,
    settle,
    rested: async () => {
      wake();
      await settle();
    },
  };
}

test('the first look is written at once, the same again is not, and of several that wait the newest is', async () => {
  const { kept, written, settle, rested } = world(50);
  kept.look('first');
  await settle();
  expect(written).toEqual(['first']);
  kept.look('first');
  kept.look('second');
  kept.look('third');
  await settle();
  expect(written).toEqual(['first']);
  await rested();
  expect(written).toEqual(['first', 'third']);
  await rested();
  kept.look('fourth');
  await settle();
  expect(written).toEqual(['first', 'third', 'fourth']);
  await kept.end();
});

test.each([
  [50, 1_000],
  [10_000, 60_000],
])('writing that takes %i ms is rested from for %i ms', async (takes, rest) => {
  const { kept, rests, settle } = world(takes);
  kept.look('first');
  await settle();
  expect(rests).toEqual([rest]);
  await kept.end();
});

test('a full disk is said once, and what comes later is tried all the same', async () => {
  const { kept, written, faults, settle, rested } = world(1, (seen) => seen.startsWith('full'));
  for (const seen of ['full 1', 'full 2', 'room']) {
    kept.look(seen);
    await settle();
    await rested();
  }
  expect(faults).toHaveLength(1);
  expect(written).toEqual(['room']);
  await kept.end();
});

test('after the end nothing more is written', async () => {
  const { kept, written, settle } = world(1);
  kept.look('first');
  await settle();
  kept.look('second');
  await kept.end();
  kept.look('third');
  await settle();
  expect(written).toEqual(['first']);
});
