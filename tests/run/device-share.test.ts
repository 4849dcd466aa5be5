/** What counts of the time of a device, and what it leads to. With real sockets: tests/run/device-cost.test.ts. */
import { describe, expect, test } from 'vitest';
import { createDeviceShares } from '../../src/run/device-share.js';

const USUAL = { timeoutMs: 5_000, attempts: 1 };

function shares() {
  let nowMs = 0;
  const made = createDeviceShares({ totalMs: 9_000, silentMs: 9_000, briefMs: 1_000, many: 6 }, () => nowMs);
  const pass = (ms: number): void => {
    nowMs += ms;
  };
  const begun = (usual = USUAL) => {
    const share = made.begin('vault-1', usual);
    share?.talks();
    return share;
  };
  return { ...made, begun, pass };
}

describe('the share', () => {
  test('answers cost nothing, however slow, and neither does the look at what stays silent', () => {
    const { begin, begun, leftMs, pass } = shares();
    for (let asked = 0; asked < 20; asked += 1) {
      const slow = begun();
      const silent = begin('vault-1', USUAL);
      pass(3_000);
      slow?.end(false);
      silent?.end(true);
    }
    expect(leftMs('vault-1')).toBe(9_000);
    expect(begun()).toMatchObject({ patience: { timeoutMs: 5_000 }, wholeWord: true, wholeTalk: true });
  });

  test('what waits in vain at the same time counts once, and while it waits', () => {
    const { begun, leftMs, pass } = shares();
    const all = [begun(), begun(), begun()];
    pass(4_000);
    expect(leftMs('vault-1')).toBe(5_000);
    pass(1_000);
    for (const one of all) one?.end(true);
    expect(leftMs('vault-1')).toBe(4_000);
    expect(leftMs('vault-2')).toBe(9_000);
  });

  test('where many hang, the next ones are asked briefly and then not at all, which is said', () => {
    const { begun, usedUp, cut, pass } = shares();
    const first = Array.from({ length: 6 }, () => begun());
    pass(5_000);
    for (const one of first) one?.end(true);
    const brief = begun();
    expect(brief).toMatchObject({ patience: { timeoutMs: 1_000, talkMs: 2_000 }, wholeWord: false });
    expect(brief?.cutShort()).toMatchObject({ outcome: 'not-run', cause: 'bound-reached' });
    pass(4_000);
    brief?.end(true);
    expect(begun()).toBeUndefined();
    expect(usedUp('vault-1')).toMatchObject({ outcome: 'not-run', cause: 'bound-reached' });
    expect(cut()).toEqual(['vault-1']);
  });

  test('a table counts once it was waited for in vain, since a large one takes its time', () => {
    const { leftMs, waitedInVain, pass } = shares();
    pass(8_000);
    expect(leftMs('vault-1')).toBe(9_000);
    waitedInVain('vault-1', 1_000);
    waitedInVain('vault-1', 3_000);
    expect(leftMs('vault-1')).toBe(2_000);
  });

  test('where much gets lost a device has twice the time', () => {
    const { begun, begin, pass } = shares();
    const one = begun();
    pass(9_000);
    one?.end(true);
    expect(begin('vault-1', USUAL, 1)).toBeUndefined();
    expect(begin('vault-1', { ...USUAL, timeoutMs: 10_000 }, 2)).toMatchObject({
      patience: { timeoutMs: 9_000 },
      wholeWord: false,
    });
  });
});
