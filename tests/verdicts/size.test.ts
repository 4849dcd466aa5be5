import { expect, test } from 'vitest';
import type { Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, aNetwork, anEndpoint, anEvidence, aPlan, aSighting } from '../support/evidence.js';
import { rounds } from '../support/rounds.js';
import { workMs } from '../support/work.js';

/** A hall of devices of four ports each, every port with a default of its own, seen from three places. */
const COUNT = rounds(1024, 4096);
const macOf = (n: number, box = '02:00:5e') =>
  `${box}:00:${(n >> 8).toString(16).padStart(2, '0')}:${(n & 255).toString(16).padStart(2, '0')}`;
const planned = (n: number) => `10.0.${n >> 8}.${n & 255}`;
const fallback = (n: number) => `10.1.${n >> 8}.${n & 255}`;
const numbers = Array.from({ length: COUNT }, (_, n) => n);
const plan = aPlan({
  networks: [aNetwork('hall', '10.0.0.0/15')],
  devices: numbers
    .filter((n) => n % 4 === 0)
    .map((n) =>
      aDevice(`device-${n >> 2}`, { macPrefixes: ['02:00:5e'], identity: { sysName: `device-${n >> 2}` } }),
    ),
  endpoints: numbers.map((n) =>
    anEndpoint(`device-${n >> 2}/${n & 1 ? 'B' : 'A'}/p${n & 3}`, {
      network: 'hall',
      address: planned(n),
      defaultAddress: fallback(n),
      services: 'https',
    }),
  ),
});
const seen = (n: number, address: string) =>
  aSighting(address, { by: macOf(n), answers: 'https', identity: { snmp: { sysName: `device-${n >> 2}` } } });
const silent = (address: string) => aSighting(address, { by: false });

function timed(evidence: readonly Evidence[]) {
  const started = workMs();
  const judgement = judge(plan, evidence, { review: [] });
  return { judgement, tookMs: workMs() - started };
}

test(`${COUNT} endpoints from three vantages are judged in seconds`, () => {
  const evidence = ['bench', 'hall', 'loft'].map((name) =>
    anEvidence({
      vantage: { name },
      sightings: numbers.flatMap((n) => [seen(n, planned(n)), silent(fallback(n))]),
    }),
  );
  const { judgement, tookMs } = timed(evidence);
  expect(judgement.endpoints.every(({ verdict }) => verdict === 'matches')).toBe(true);
  expect(tookMs).toBeLessThan(20_000);
});

test(`${COUNT} wrong devices and as many defaults that still answer are judged in seconds`, () => {
  const evidence = anEvidence({
    sightings: numbers.flatMap((n) => [seen(COUNT - 1 - n, planned(n)), seen(n, fallback(n))]),
  });
  const { judgement, tookMs } = timed([evidence]);
  expect(judgement.endpoints.every(({ verdict }) => verdict === 'differs')).toBe(true);
  expect(tookMs).toBeLessThan(20_000);
});

test(`${COUNT} defaults at power-on are judged in seconds`, () => {
  const evidence = anEvidence({
    stage: 'power-on',
    sightings: numbers.flatMap((n) => [silent(planned(n)), seen(n, fallback(n))]),
  });
  const { judgement, tookMs } = timed([evidence]);
  expect(judgement.endpoints.every(({ verdict }) => verdict === 'matches')).toBe(true);
  expect(tookMs).toBeLessThan(20_000);
});
