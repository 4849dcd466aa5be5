import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { GapMeter } from '../../src/drill/gap-meter.js';

const INTERVAL = 100;
function meterOf(pattern: string, startMs = 0): GapMeter {
  const meter = new GapMeter(INTERVAL);
  [...pattern].forEach((state, n) => {
    meter.feed({ atMs: startMs + n * INTERVAL, endpoint: 'e', up: state === '+' });
  });
  return meter;
}

// Our own definition of a gap, no source; tests/lab/drill.test.ts holds it against a cable that is really cut.
describe('the gap in service', () => {
  test('first down to first up again, with the bounds that the samples leave', () => {
    expect(meterOf('++---++').gaps()).toEqual([
      { endpoint: 'e', startMs: 200, endMs: 500, gapMs: 300, atLeastMs: 200, atMostMs: 400, returned: true },
    ]);
  });

  test.each<[string, { gapMs: number; returned?: boolean }[], string]>([
    ['+++++', [], 'never away'],
    ['-----', [], 'never there: no gap to measure'],
    ['--+++', [], 'came up for the first time'],
    ['++---', [{ gapMs: 200, returned: false }], 'not back at the last sample'],
    ['+-+-+', [{ gapMs: 100 }, { gapMs: 100 }], 'twice'],
  ])('%s: %j (%s)', (pattern, expected) => {
    const gaps = meterOf(pattern).gaps();
    expect(gaps).toHaveLength(expected.length);
    expect(gaps).toMatchObject(expected);
  });

  // Holds the meter against the cut itself: whatever it was, the figure is within one interval of it.
  test('the true cut lies within the bounds, and the figure within one interval of it', () => {
    const cut = fc.record({
      from: fc.integer({ min: 150, max: 3000 }),
      length: fc.integer({ min: INTERVAL + 1, max: 4000 }),
    });
    fc.assert(
      fc.property(cut, ({ from, length }) => {
        const meter = new GapMeter(INTERVAL);
        for (let atMs = 0; atMs <= 8000; atMs += INTERVAL)
          meter.feed({ atMs, endpoint: 'e', up: atMs < from || atMs >= from + length });
        const [gap] = meter.gaps();
        expect(gap?.returned).toBe(true);
        expect(Math.abs((gap?.gapMs ?? 0) - length)).toBeLessThanOrEqual(INTERVAL);
        expect(gap?.atLeastMs).toBeLessThanOrEqual(length);
        expect(gap?.atMostMs).toBeGreaterThanOrEqual(length);
      }),
    );
  });

  test('endpoints are measured apart, and a sample out of order is dropped', () => {
    const meter = new GapMeter(INTERVAL);
    for (const [atMs, endpoint, up] of [
      [0, 'a', true],
      [0, 'b', true],
      [100, 'a', false],
      [100, 'b', true],
      [50, 'a', true],
      [200, 'a', true],
    ] as const)
      meter.feed({ atMs, endpoint, up });
    expect(meter.gaps()).toMatchObject([{ endpoint: 'a', gapMs: 100, returned: true }]);
    expect([meter.isUp('a'), meter.isUp('b'), meter.isUp('c')]).toEqual([true, true, undefined]);
  });

  test('the resolution is the interval, or what it really was', () => {
    const meter = meterOf('++');
    expect(meter.resolutionMs()).toBe(100);
    meter.feed({ atMs: 480, endpoint: 'e', up: true });
    expect(meter.resolutionMs()).toBe(380);
  });
});
