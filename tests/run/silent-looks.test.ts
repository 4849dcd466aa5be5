/** What silence may cost a device, and which of its looks comes next. A whole device in simulated time: tests/run/silent-device.test.ts. */
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { createSilentLooks, nextInTime } from '../../src/run/silent-looks.js';
import { createVainTime } from '../../src/run/vain-time.js';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});
const pass = (ms: number): unknown => vi.advanceTimersByTime(ms);
const { signal } = new AbortController();

describe('silent looks', () => {
  const begun = () => {
    const looks = createSilentLooks({ silentMs: 9_000, briefMs: 1_000 });
    return { looks, begin: (needMs: number) => looks.begin('vault-1', { needMs }, signal) };
  };

  test('one that fits into the time of its device is left as it is', () => {
    const { looks, begin } = begun();
    const look = begin(9_000);
    expect(look?.signal).toBe(signal);
    pass(9_000);
    expect(look?.end(true)).toBe(false);
    expect(looks.cut()).toEqual([]);
    expect(begin(100)).toBeUndefined();
    expect(looks.begin('vault-2', { needMs: 9_000 }, signal)).toBeDefined();
  });

  test('one that does not fit is ended when the time is up, and its silence says nothing', () => {
    const { begin } = begun();
    const first = begin(8_000);
    pass(5_000);
    const late = begin(8_000);
    pass(3_999);
    expect(late?.signal.aborted).toBe(false);
    pass(1);
    expect(late?.signal.aborted).toBe(true);
    expect(late?.end(true)).toBe(true);
    expect(first?.end(true)).toBe(false);
  });

  test('what answers costs nothing and is never ended', () => {
    const { begin } = begun();
    const slow = begin(20_000);
    slow?.answered();
    pass(30_000);
    expect(slow?.signal.aborted).toBe(false);
    expect(slow?.end(false)).toBe(false);
    expect(begin(9_000)?.signal).toBe(signal);
  });

  test('where the device answers elsewhere, what is left is asked briefly, and nothing is asked again', () => {
    const { looks, begin } = begun();
    begin(1_000)?.answered();
    const silent = begin(9_000);
    pass(9_000);
    silent?.end(true);
    const brief = begin(3_000);
    pass(1_000);
    expect(brief?.end(true)).toBe(true);
    expect(looks.begin('vault-1', { needMs: 3_000, again: true }, signal)).toBeUndefined();
    expect(looks.isOpen('vault-1', { needMs: 3_000, again: true })).toBe(false);
  });

  test('the first address of which an echo is all there is to ask is asked to the end', () => {
    const { looks } = begun();
    const echo = (address: string) => ({ needMs: 2_600, again: true, echoAlone: address });
    const slow = looks.begin('vault-1', echo('192.0.2.11'), signal);
    pass(10_000);
    slow?.end(true);
    expect(looks.begin('vault-1', echo('192.0.2.12'), signal)).toBeUndefined();
    expect(looks.begin('vault-1', echo('192.0.2.11'), signal)?.signal).toBe(signal);
  });

  test('where much gets lost it has twice the time', () => {
    const { looks, begin } = begun();
    const one = begin(9_000);
    pass(9_000);
    one?.end(true);
    expect(looks.begin('vault-1', { needMs: 9_000 }, signal, 2)?.signal).toBe(signal);
  });
});

describe('time waited in vain', () => {
  test('what waits at the same time counts once, however it lies', () => {
    const time = createVainTime<{ fromMs: number }>(1_000, () => performance.now());
    const fromMs = performance.now();
    pass(4_000);
    time.add(fromMs + 3_500);
    expect(time.spentMs()).toBe(500);
    pass(4_000);
    time.add(fromMs);
    expect(time.spentMs()).toBe(8_000);
    pass(2_000);
    time.add(fromMs + 9_000);
    expect(time.spentMs()).toBe(9_000);
  });

  test('what still waits counts once it has waited for longer than who answers', () => {
    const time = createVainTime<{ fromMs: number }>(1_000, () => performance.now());
    time.open.add({ fromMs: performance.now() });
    pass(1_000);
    expect(time.spentMs()).toBe(0);
    pass(500);
    expect(time.spentMs()).toBe(1_500);
  });
});

describe('who comes next at a device that is silent', () => {
  const wish = (needMs: number, round = 0, answers = false) => ({
    needMs,
    round,
    leftMs: () => (answers ? undefined : 5_000),
  });

  test('what takes longest to be sure of and still comes to its end in time', () => {
    expect(nextInTime([wish(500), wish(3_250), wish(8_000), wish(3_250)])).toBe(1);
  });

  test('the first service of every address before the second of any', () => {
    expect(nextInTime([undefined, wish(3_250, 1), wish(3_000, 0), wish(500, 1_000)])).toBe(2);
  });

  test('who asked first, where nothing comes to its end in time or the device answers', () => {
    expect(nextInTime([wish(8_000), wish(9_000)])).toBe(0);
    expect(nextInTime([wish(500, 0, true), wish(3_250, 0, true)])).toBe(0);
    expect(nextInTime([undefined, undefined])).toBe(0);
  });
});
