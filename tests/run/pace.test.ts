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

  it('what is not wanted any more when its turn comes runs at once and holds nobody up', async () => {
    const { clock, sleep } = fakeTime();
    const pacer = createPacer(LIMITS, clock, sleep, new AbortController().signal);
    const beganMs = clock.now();
    const unwanted = Array.from({ length: 500 }, () =>
      pacer.run(
        'vault-1',
        1_000,
        async () => 7,
        () => false,
      ),
    );
    expect(new Set(await Promise.all(unwanted))).toEqual(new Set([7]));
    expect(clock.now()).toBe(beganMs);
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

  /** Frames that a run of this pace lets out in the busiest second of so many questions. */
  async function busiestSecond(limits: PaceLimits, questions: number, frames: number): Promise<number> {
    const { clock, sleep } = fakeTime();
    const pacer = createPacer(limits, clock, sleep, new AbortController().signal);
    const sentAt: number[] = [];
    await Promise.all(
      Array.from({ length: questions }, (_, at) =>
        pacer.run(`box-${at}`, frames, async () => {
          sentAt.push(...Array.from({ length: frames }, () => clock.now()));
        }),
      ),
    );
    return Math.max(...sentAt.map((from) => sentAt.filter((at) => at >= from && at < from + 1000).length));
  }

  it('lets no more frames out in any second than the run may send', async () => {
    const limits = { ...LIMITS, runConcurrent: 100, deviceConcurrent: 100, devicePerSecond: 1000 };
    expect(await busiestSecond(limits, 1200, 1)).toBeLessThanOrEqual(1000);
    expect(await busiestSecond(limits, 400, 3)).toBeLessThanOrEqual(1000 + 3);
    expect(await busiestSecond({ ...limits, runPerSecond: 10 }, 40, 1)).toBeLessThanOrEqual(10);
  });

  it('counts what left by itself, and lets those who find out who is there go first', async () => {
    const { clock, sleep } = fakeTime();
    const pacer = createPacer(LIMITS, clock, sleep, new AbortController().signal);
    expect(pacer.take(1000)).toBeLessThanOrEqual(60);
    const order: string[] = [];
    const waiting = pacer.run('a', 1, async () => {
      order.push('question');
    });
    await sleep(30);
    order.push(`presence ${pacer.take(20)}`);
    await waiting;
    expect(order).toEqual(['presence 20', 'question']);
    pacer.charge(500);
    const fromMs = clock.now();
    await pacer.run('b', 1, async () => {});
    expect(clock.now() - fromMs).toBeGreaterThan(450);
  });

  it('holds the requests of a walk to four times the rate of a device', async () => {
    const { clock, sleep } = fakeTime();
    const pacer = createPacer(LIMITS, clock, sleep, new AbortController().signal);
    for (let at = 0; at < 50; at += 1) await pacer.request('switch-1');
    // 40 a second, and ten at once.
    expect(clock.now()).toBeGreaterThanOrEqual(950);
    expect(clock.now()).toBeLessThanOrEqual(1100);
  });
});
