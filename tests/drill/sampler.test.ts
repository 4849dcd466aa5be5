import { describe, expect, test } from 'vitest';
import type { Sample } from '../../src/drill/index.js';
import { startSampler } from '../../src/drill/sampler.js';
import { realSleep } from '../../src/run/pace.js';
import { fakeTime } from './fakes.js';

/** One character a question, every 100 ms: `+` answered, `-` not. */
async function sampled(script: string): Promise<string> {
  const { clock, sleep } = fakeTime();
  const seen: Sample[] = [];
  let asked = 0;
  let over = (): void => {};
  const finished = new Promise<void>((resolve) => {
    over = resolve;
  });
  const sampler = startSampler(
    [
      {
        endpoint: 'vault-1/A/data0',
        intervalMs: 100,
        ask: async () => {
          const answer = script[asked++];
          if (answer === undefined) over();
          return answer === '+';
        },
      },
    ],
    clock,
    sleep,
  );
  sampler.onSample((sample) => seen.push(sample));
  await finished;
  const kept = seen.slice(0, script.length);
  await sampler.stop();
  expect(kept.map(({ atMs }) => atMs)).toEqual(kept.map((_sample, index) => index * 100));
  return kept.map(({ up }) => (up ? '+' : '-')).join('');
}

describe('sampler', () => {
  test.each<[string, string, string]>([
    ['+++++', '+++++', 'always there'],
    ['++-++', '+++++', 'one lost question is no gap'],
    ['+-+-+', '+++++', 'nor are two lost ones with an answer between them'],
    ['++--+', '++--+', 'two in a row are a gap, and it starts with the first'],
    ['++---', '++---', 'gone for good'],
    ['---++', '---++', 'what was never there is down from the first question'],
    ['--+-+', '--+++', 'a lost question just after the return'],
  ])('%s is taken as %s: %s', async (script, expected) => {
    expect(await sampled(script)).toBe(expected);
  });

  test('answers are fed on in the order of their questions, however late the first is', async () => {
    const { clock, sleep } = fakeTime();
    const answers: ((up: boolean) => void)[] = [];
    const times: number[] = [];
    const sampler = startSampler(
      [
        {
          endpoint: 'vault-1/A/data0',
          intervalMs: 100,
          ask: () => new Promise<boolean>((resolve) => answers.push(resolve)),
        },
      ],
      clock,
      sleep,
    );
    sampler.onSample(({ atMs }) => times.push(atMs));
    const turn = () => new Promise((resolve) => setImmediate(resolve));
    while (answers.length < 3) await turn();
    answers[2]?.(true);
    answers[1]?.(true);
    await turn();
    expect(times).toEqual([]);
    answers[0]?.(true);
    await turn();
    expect(times).toEqual([0, 100, 200]);
    // Nobody answers any more: questions on their way stay bounded.
    for (let n = 0; n < 60; n += 1) await turn();
    expect(answers.length).toBeLessThanOrEqual(3 + 12);
    const stopped = sampler.stop();
    for (const answer of answers) answer(false);
    await stopped;
    expect(times).toEqual([0, 100, 200]);
  });

  test('the resolution is twice the slowest interval; nothing watched has none', async () => {
    const { clock, sleep } = fakeTime();
    const watch = (endpoint: string, intervalMs: number) => ({ endpoint, intervalMs, ask: async () => true });
    const sampler = startSampler([watch('a', 100), watch('b', 200)], clock, sleep);
    expect(sampler.resolutionMs).toBe(400);
    expect(sampler.isUp('a')).toBeUndefined();
    await new Promise((resolve) => setImmediate(resolve));
    await new Promise((resolve) => setImmediate(resolve));
    expect(sampler.isUp('a')).toBe(true);
    await sampler.stop();
    const idle = startSampler([], clock, sleep);
    expect(idle.resolutionMs).toBe(0);
    await idle.stop();
  });

  test('many watches raise no warning of Node on the terminal', async () => {
    const warnings: Error[] = [];
    const keep = (warning: Error): void => {
      warnings.push(warning);
    };
    process.on('warning', keep);
    const clock = { now: () => performance.now(), date: () => new Date() };
    const watches = Array.from({ length: 30 }, (_each, index) => ({
      endpoint: `vault-${index}`,
      intervalMs: 5,
      ask: async () => true,
    }));
    const sampler = startSampler(watches, clock, realSleep);
    await new Promise((resolve) => setTimeout(resolve, 30));
    await sampler.stop();
    process.off('warning', keep);
    expect(warnings).toEqual([]);
  });
});
