import { getEventListeners } from 'node:events';
import { describe, expect, it } from 'vitest';
import { bounded, within } from '../../src/probe/bound.js';
import { moment } from '../../src/run/moment.js';

const listenersOf = (signal: AbortSignal): number => getEventListeners(signal, 'abort').length;

describe('an end on top of a signal', () => {
  it('comes with the outer signal, by itself, or at once where that has ended', () => {
    const outer = new AbortController();
    const [one, other] = [within(outer.signal), within(outer.signal)];
    one.end();
    expect([one.signal.aborted, other.signal.aborted]).toEqual([true, false]);
    outer.abort();
    expect(other.signal.aborted).toBe(true);
    expect(within(outer.signal).signal.aborted).toBe(true);
  });

  it('leaves nothing at the outer signal, however often: follow runs for hours', () => {
    const outer = new AbortController();
    for (let at = 0; at < 100; at += 1) {
      within(outer.signal).end();
      bounded(outer.signal, 60_000).end();
    }
    expect(listenersOf(outer.signal)).toBe(0);
  });

  it('says of a limit whether it was reached', async () => {
    const outer = new AbortController();
    const [short, lifted] = [bounded(outer.signal, 1), bounded(outer.signal, 1)];
    lifted.lift();
    await new Promise((resolve) => short.signal.addEventListener('abort', resolve));
    expect([short.reached(), lifted.reached(), lifted.signal.aborted]).toEqual([true, false, false]);
    outer.abort();
    expect([lifted.signal.aborted, lifted.reached()]).toEqual([true, false]);
  });
});

it('the timeline has each moment once, the last', () => {
  for (let look = 0; look < 3; look += 1) moment('all asked');
  expect(performance.getEntriesByName('matchmark: all asked')).toHaveLength(1);
});
