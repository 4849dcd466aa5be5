import { describe, expect, it } from 'vitest';
import { createPacer, type PaceLimits } from '../../src/run/pace.js';

/** A clock that only waiting moves. */
function fakeTime(): {
  clock: { now: () => number; date: () => Date };
  sleep: (ms: number) => Promise<void>;
} {
  let nowMs = 0;
  return {
    clock: { now: () => nowMs, date: () => new Date(nowMs) },
    sleep: async (ms) => {
      nowMs += Math.max(0, ms);
    },
  };
}

const LIMITS: PaceLimits = { runConcurrent: 4, runPerSecond: 1000, deviceConcurrent: 2, devicePerSecond: 10 };

describe('createPacer', () => {
  it('never runs more at once than the run and the device allow', async () => {
    const { clock, sleep } = fakeTime();
    const pacer = createPacer(
      { ...LIMITS, devicePerSecond: 1000 },
      clock,
      sleep,
      new AbortController().signal,
    );
    const running = new Map<string, number>();
    let atOnce = 0;
    let mostOfDevice = 0;
    let mostOfRun = 0;
    const work = (device: string) => async (): Promise<void> => {
      running.set(device, (running.get(device) ?? 0) + 1);
      atOnce += 1;
      mostOfDevice = Math.max(mostOfDevice, running.get(device) ?? 0);
      mostOfRun = Math.max(mostOfRun, atOnce);
      await new Promise((resolve) => setTimeout(resolve, 2));
      running.set(device, (running.get(device) ?? 0) - 1);
      atOnce -= 1;
    };
    await Promise.all(
      Array.from({ length: 60 }, (_, index) => `box-${index % 3}`).map((device) =>
        pacer.run(device, 1, work(device)),
      ),
    );
    expect(mostOfDevice).toBe(2);
    expect(mostOfRun).toBe(4);
  });

  it('holds a device to its rate after a burst of a quarter second', async () => {
    const { clock, sleep } = fakeTime();
    const pacer = createPacer(LIMITS, clock, sleep, new AbortController().signal);
    const startedAt: number[] = [];
    for (let index = 0; index < 22; index += 1)
      await pacer.run('vault-1', 1, async () => {
        startedAt.push(clock.now());
      });
    // 10 a second: 22 questions, of which 2.5 may come at once, take about 1.95 s.
    expect(startedAt.at(-1)).toBeGreaterThanOrEqual(1900);
    expect(startedAt.at(-1)).toBeLessThanOrEqual(2200);
  });

  it('passes the result and the rejection on and goes on after one', async () => {
    const { clock, sleep } = fakeTime();
    const pacer = createPacer(LIMITS, clock, sleep, new AbortController().signal);
    await expect(pacer.run('a', 1, async () => Promise.reject(new Error('boom')))).rejects.toThrow('boom');
    await expect(pacer.run('a', 1, async () => 7)).resolves.toBe(7);
  });
});
