import { expect, test } from 'vitest';
import { sightOf } from '../../src/drill/watchable.js';
import { watchesFor } from '../../src/drill/watches.js';
import type { Patience } from '../../src/probe/types.js';
import { assessGroups } from '../../src/redundancy/index.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import { anEndpoint, aPlan, aSighting, aTcp, notRun } from '../support/evidence.js';
import { aMatrix, seen } from '../support/matrix.js';

const DATA = {
  role: 'data',
  group: 'vault-1 data',
  network: 'data',
  services: 'iscsi-target https',
} as const;
const endpoints = [
  anEndpoint('vault-1/A/data0', { ...DATA, address: '192.0.2.11' }),
  anEndpoint('vault-1/A/data1', { ...DATA, address: '192.0.2.12' }),
  anEndpoint('vault-1/B/mgmt', { ...DATA, role: 'management', address: '192.0.2.13' }),
  anEndpoint('vault-1/B/quiet', { ...DATA, address: '192.0.2.14' }),
  anEndpoint('vault-1/B/fc0', { role: 'data', group: 'vault-1 data', media: 'fc' }),
  anEndpoint('press-1/mgmt', { address: '192.0.2.20', services: 'https' }),
];
const sightings: Readonly<Record<string, ReturnType<typeof aSighting>>> = {
  'vault-1/A/data0': aSighting('192.0.2.11', { tcp: [aTcp('iscsi-target', 'refused'), aTcp('https')] }),
  'vault-1/A/data1': aSighting('192.0.2.12', { tcp: [aTcp('iscsi-target', 'refused')] }),
  'vault-1/B/mgmt': aSighting('192.0.2.13', { answers: 'https' }),
  'vault-1/B/quiet': aSighting('192.0.2.14', { echo: false }),
  'press-1/mgmt': aSighting('192.0.2.20', { answers: 'https' }),
};
const plan = aPlan({ endpoints });
const { groups } = assessGroups(plan, new Map(endpoints.map(({ id }) => [id, { state: 'live' as const }])));
const matrix = aMatrix(
  plan,
  (id) => {
    const sighting = sightings[id];
    return { verdict: 'matches', sightings: sighting === undefined ? [] : [seen('bench', sighting)] };
  },
  { groups: groups.filter(({ name }) => name === 'vault-1 data') },
);

interface Asked {
  readonly how: string;
  readonly address: string;
  readonly patience: Patience;
}

function probes(answers: boolean, asked: Asked[]): Pick<ProbeSet, 'tcp' | 'icmp'> {
  return {
    tcp: async ({ address, service }, patience) => {
      asked.push({ how: `tcp ${service.port}`, address, patience });
      return aTcp(service.name, answers ? 'accepted' : 'no-reply');
    },
    icmp: async ({ address }, patience) => {
      asked.push({ how: 'icmp', address, patience });
      return answers ? { outcome: 'replied', rttMs: 1, sent: 1, received: 1 } : notRun('no program');
    },
  };
}

test('each endpoint of a group is asked for what answered in the run; one that answered nothing is not watched', async () => {
  const asked: Asked[] = [];
  const watches = watchesFor(sightOf(matrix).questions, probes(true, asked));
  const signal = new AbortController().signal;
  expect(await Promise.all(watches.map(({ ask }) => ask(signal)))).toEqual([true, true, true]);
  expect(watches.map(({ endpoint }, index) => `${endpoint}: ${asked[index]?.how}`)).toEqual([
    // The service that refuses proves nothing about the path; the one that accepted does.
    'vault-1/A/data0: tcp 443',
    'vault-1/A/data1: icmp',
    'vault-1/B/mgmt: tcp 443',
  ]);
});

test('small management processors are asked half as often, and each question stands for one moment', async () => {
  const asked: Asked[] = [];
  const watches = watchesFor(sightOf(matrix).questions, probes(true, asked));
  expect(watches.map(({ intervalMs }) => intervalMs)).toEqual([100, 200, 200]);
  await watches[0]?.ask(new AbortController().signal);
  expect(asked[0]?.patience.attempts).toBe(1);
  // RFC 6298 §2.1: a lost SYN is sent again after one second, which would answer for a later moment.
  expect(asked[0]?.patience.timeoutMs).toBeLessThan(1000);
});

test('silence, a refusal and a question that could not be asked are no answer', async () => {
  const watches = watchesFor(sightOf(matrix).questions, probes(false, []));
  const signal = new AbortController().signal;
  expect(await Promise.all(watches.map(({ ask }) => ask(signal)))).toEqual([false, false, false]);
});

test('watching keeps to the ceilings of the run and of each device', () => {
  const { questions } = sightOf(matrix);
  const [first] = questions;
  if (first === undefined) throw new Error('nothing is watched');
  const crowd = [...questions, ...questions, ...questions];
  const devices = (watches: ReturnType<typeof watchesFor>): number =>
    watches.reduce((sum, { intervalMs }) => sum + 1000 / intervalMs, 0);
  // One device has all of them: 3 x (10 + 5 + 5) questions a second are more than the 25 that a device is asked.
  expect(devices(watchesFor(crowd, probes(true, [])))).toBeLessThanOrEqual(25);
  const fragile = { runConcurrent: 4, runPerSecond: 10, deviceConcurrent: 1, devicePerSecond: 1000 };
  // A connection is three frames, an echo one.
  const frames = (3 * 1000) / (watchesFor(questions, probes(true, []), fragile)[0]?.intervalMs ?? 0);
  expect(frames).toBeLessThan(10);
  expect(devices(watchesFor([first], probes(true, []), fragile))).toBeLessThanOrEqual(10 / 3);
});
