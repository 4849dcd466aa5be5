import { expect, test } from 'vitest';
import { followElsewhere, keepLooking, type LookElsewhere } from '../../src/follow/elsewhere.js';
import type { PulseElsewhere } from '../../src/follow/place-pulses.js';
import { changeText } from '../../src/follow/wording.js';
import { buildMatrix } from '../../src/result/build.js';
import type { Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac, notRun } from '../support/evidence.js';

const plan = aPlan({
  networks: [aNetwork('mgmt', '192.0.2.0/24')],
  endpoints: [11, 12].map((last) =>
    anEndpoint(`vault-1/A/p${last}`, { address: `192.0.2.${last}`, services: 'https' }),
  ),
});
const look = (second: boolean): Evidence =>
  anEvidence({
    vantage: { name: 'press-1', from: 'ssh://root@192.0.2.21' },
    sightings: [
      aSighting('192.0.2.11', { by: mac(1), answers: 'https' }),
      second
        ? aSighting('192.0.2.12', { by: mac(2), answers: 'https' })
        : aSighting('192.0.2.12', { by: false, icmp: notRun('nobody there') }),
    ],
  });
const matrixOf = (evidence: Evidence) =>
  buildMatrix({
    run: { id: 'run', version: '0.1.0' },
    plan,
    evidence: [evidence],
    judgement: judge(plan, [evidence], { review: [] }),
  });

test('what changes at another place is told, and the last look stands', async () => {
  const looks = [look(true), look(false)];
  const changes: string[] = [];
  const rounds: number[] = [];
  const matrix = await followElsewhere(
    matrixOf(look(true)),
    { plan, elsewhere: async () => [looks.shift() ?? look(false)], intervalMs: 0, rounds: 3 },
    {
      now: () => new Date('2030-01-02T03:10:00Z'),
      sleep: async () => {},
      onChanges: (told) => changes.push(...told.map(({ subject }) => subject)),
      onLook: (_matrix, round) => rounds.push(round),
    },
    new AbortController().signal,
  );
  expect(rounds).toEqual([1, 2, 3]);
  expect(changes).toContain('vault-1/A/p12');
  expect(matrix.endpoints.map(({ verdict }) => verdict)).toEqual(['matches', 'missing']);
});

test('a look that was cut off by the end is not told', async () => {
  const stop = new AbortController();
  let told = 0;
  await keepLooking(
    [],
    {
      plan,
      elsewhere: async () => {
        stop.abort();
        return [];
      },
      intervalMs: 0,
    },
    {
      sleep: async () => {},
      onChanges: () => {},
      onLook: () => {
        told += 1;
      },
    },
    stop.signal,
  );
  expect(told).toBe(0);
});

const FROM = 'ssh://root@192.0.2.21';

/** Follows from one place whose pulse tells these; `seen` are the looks in turn. All is over with the last of them. */
async function felt(
  seen: readonly Evidence[],
  script: (tell: (address: string, alive: boolean) => void) => void,
): Promise<{ said: string[]; asked: Parameters<LookElsewhere>[1][]; pulses: string[] }> {
  const said: string[] = [];
  const asked: Parameters<LookElsewhere>[1][] = [];
  const pulses: string[] = [];
  const stop = new AbortController();
  const pulse: PulseElsewhere = async (from, targets, signal, onChange) => {
    pulses.push(`${from} ${targets.map(({ address }) => address).join(' ')}`);
    if (pulses.length === 1) queueMicrotask(() => script(onChange));
    await new Promise<void>((resolve) => signal.addEventListener('abort', () => resolve()));
  };
  await keepLooking(
    [look(true)],
    {
      plan,
      elsewhere: async (_signal, closer) => {
        asked.push(closer);
        return [seen[asked.length - 1] ?? look(true)];
      },
      pulse,
      intervalMs: 3_600_000,
    },
    {
      // The hour is over once a look has been taken that was called for.
      sleep: (_milliseconds, signal) =>
        asked.length > 0
          ? Promise.resolve()
          : new Promise((resolve) => signal?.addEventListener('abort', () => resolve(), { once: true })),
      onChanges: (changes) => said.push(...changes.map(changeText)),
      onLook: () => {
        if (asked.length === seen.length) stop.abort();
      },
    },
    stop.signal,
  );
  return { said, asked, pulses };
}

test('a pulse tells at once who went, and that device alone is looked at from that place alone', async () => {
  const { said, asked, pulses } = await felt([look(false)], (tell) => {
    tell('192.0.2.12', false);
    tell('192.0.2.12', false);
    tell('192.0.2.11', true);
    tell('203.0.113.9', false);
  });
  expect(pulses).toEqual([`${FROM} 192.0.2.11 192.0.2.12`]);
  expect(said).toEqual(['vault-1/A/p12: no longer answers, seen from press-1']);
  expect(asked).toEqual([{ from: [FROM], devices: ['vault-1'] }]);
});

test('what a look sees otherwise than the pulse is told, too', async () => {
  const { said } = await felt([look(true)], (tell) => tell('192.0.2.12', false));
  expect(said).toEqual([
    'vault-1/A/p12: no longer answers, seen from press-1',
    'vault-1/A/p12: now answers, seen from press-1',
  ]);
});

test('a closer look that broke off leaves what was known, and is told by nobody', async () => {
  const failed = { ...look(false), failed: { cause: 'vantage-failed' as const, reason: 'gone' } };
  const { said, asked } = await felt([failed, look(false)], (tell) => tell('192.0.2.12', false));
  expect(said).toEqual(['vault-1/A/p12: no longer answers, seen from press-1']);
  expect(asked.map((one) => one?.devices)).toEqual([['vault-1'], undefined]);
});
