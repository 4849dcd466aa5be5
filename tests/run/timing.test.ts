import { expect, test } from 'vitest';
import { startTiming } from '../../src/run/timing.js';

const HOUR_MS = 3_600_000;
const START_MS = Date.parse('2030-01-02T03:00:00Z');

function timed(wallMs: number, passedMs: number): number {
  let at = { wallMs: START_MS, nowMs: 500 };
  const timing = startTiming({ now: () => at.nowMs, date: () => new Date(at.wallMs) });
  at = { wallMs, nowMs: 500 + passedMs };
  return Date.parse(timing.finishedAt()) - Date.parse(timing.startedAt);
}

test.each([
  ['nobody set the clock', START_MS + 7_000, 7_000, 7_000],
  ['it was set back an hour', START_MS + 7_000 - HOUR_MS, 7_000, 7_000],
  ['it was set back by a second', START_MS + 6_000, 7_000, 7_000],
  // A clock that was set forward cannot be told from a laptop that slept, for which the wall clock is right.
  ['the laptop slept for an hour', START_MS + 7_000 + HOUR_MS, 7_000, HOUR_MS + 7_000],
])('%s', (_what, wallMs, passedMs, spanMs) => {
  expect(timed(wallMs, passedMs)).toBe(spanMs);
});
