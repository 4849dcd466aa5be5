import { expect, test } from 'vitest';
import { roomOf } from '../../src/page/sheet-room.js';

/** Two arrays and four switches, everything proven: two strips (measured on a run in the lab). */
const READY = {
  headline: 'Ready to hand over: everything in the plan is proven; all 4 groups are redundant.',
  sentences: ['x'.repeat(190)],
  jobs: 0,
  drawing: 479 * 0.97,
};

test('a small site is drawn whole, and its groups stand beside the drawing', () => {
  expect(roomOf({ ...READY, groups: [1, 1] })).toMatchObject({ drawing: READY.drawing, groups: 2 });
});

test('jobs come before groups, groups before what a drawing would like to have', () => {
  const room = roomOf({ ...READY, jobs: 30, groups: Array(20).fill(1), drawing: 900 });
  expect(room.jobs).toBe(4);
  expect(room.groups).toBe(3);
  expect(room.drawing).toBeLessThan(420);
});
