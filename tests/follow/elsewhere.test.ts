import { expect, test } from 'vitest';
import { followElsewhere, keepLooking } from '../../src/follow/elsewhere.js';
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
    { elsewhere: async () => [looks.shift() ?? look(false)], intervalMs: 0, rounds: 3 },
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
    async () => {
      stop.abort();
      return [];
    },
    0,
    stop.signal,
    () => {
      told += 1;
    },
    async () => {},
  );
  expect(told).toBe(0);
});
