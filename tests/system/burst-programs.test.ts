import { expect, it } from 'vitest';
import { burstPrograms, type Helper } from '../../src/system/burst-programs.js';
import type { ProgramResult, Programs } from '../../src/system/program-types.js';

const ran = (stdout: string): ProgramResult => ({
  ran: true,
  exitCode: 0,
  stdout,
  stderr: '',
  timedOut: false,
});

/** Programs that end when they are told to. */
function held(): { own: Programs; end: () => void; begun: () => number } {
  const waiting: (() => void)[] = [];
  let begun = 0;
  return {
    own: {
      run: () => {
        begun += 1;
        return new Promise((resolve) => waiting.push(() => resolve(ran('own'))));
      },
      start: () => ({ ran: false, why: 'failed', detail: 'not in this test' }),
    },
    end: () => {
      for (const each of waiting.splice(0)) each();
    },
    begun: () => begun,
  };
}

const helper = (run: Helper['run'], ready = true): Helper => ({ ready: () => ready, run });
const flood = (programs: Programs, amount: number): Promise<ProgramResult[]> =>
  Promise.all(Array.from({ length: amount }, () => programs.run('ping', ['192.0.2.1'])));
const words = (results: readonly ProgramResult[]): Record<string, number> => {
  const counts: Record<string, number> = {};
  for (const result of results) {
    const word = result.ran ? result.stdout : 'not run';
    counts[word] = (counts[word] ?? 0) + 1;
  }
  return counts;
};

it('starts no helper for a small site', async () => {
  const { own, end } = held();
  let started = 0;
  const programs = burstPrograms(own, () => {
    started += 1;
    return undefined;
  });
  for (let round = 0; round < 3; round += 1) {
    const results = flood(programs, 16);
    end();
    expect(words(await results)).toEqual({ own: 16 });
  }
  expect(started).toBe(0);
});

it('starts one helper for many, and gives it what comes beyond the first few', async () => {
  const { own, end } = held();
  let started = 0;
  const programs = burstPrograms(own, () => {
    started += 1;
    return helper(async (command, args) => ran(`helped ${command} ${args.join()}`));
  });
  const results = flood(programs, 100);
  end();
  expect(words(await results)).toEqual({ own: 16, 'helped ping 192.0.2.1': 84 });
  expect(started).toBe(1);
});

it.each<[string, () => Helper | undefined]>([
  ['there is no helper', () => undefined],
  ['it is not ready yet', () => helper(async () => ran('too early'), false)],
  ['it is gone in the middle', () => helper(async () => undefined)],
])('runs everything itself where %s', async (_name, start) => {
  const { own, end, begun } = held();
  const results = flood(burstPrograms(own, start), 40);
  while (begun() < 40) await new Promise((resolve) => setImmediate(resolve));
  end();
  expect(words(await results)).toEqual({ own: 40 });
});

it('hands the signal and the limits on', async () => {
  const { own, end } = held();
  const seen: unknown[] = [];
  const programs = burstPrograms(own, () =>
    helper(async (_command, _args, options) => {
      seen.push(options);
      return ran('helped');
    }),
  );
  const first = flood(programs, 16);
  const { signal } = new AbortController();
  await programs.run('ping', [], { timeoutMs: 5, maxBytes: 6, signal });
  expect(seen).toEqual([{ timeoutMs: 5, maxBytes: 6, signal }]);
  end();
  await first;
});
