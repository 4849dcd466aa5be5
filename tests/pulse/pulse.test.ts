import { expect, it } from 'vitest';
import { keepPulse, type PulseTarget, pulseTargets } from '../../src/pulse/pulse.js';
import { anEndpoint, anEvidence, aPlan, aSighting } from '../support/evidence.js';

const A: PulseTarget = { address: '192.0.2.11' };
const B: PulseTarget = { address: '192.0.2.12' };

/** What each address answers, turn by turn; the last answer stays. */
async function felt(
  answers: Record<string, readonly boolean[]>,
  targets: readonly PulseTarget[],
  turns: number,
) {
  const told: string[] = [];
  const stop = new AbortController();
  let turn = 0;
  await keepPulse(
    () => targets,
    {
      everyMs: 900,
      framesPerSecond: 4000,
      ask: async ({ address }) => {
        const script = answers[address] ?? [];
        return script[Math.min(turn, script.length - 1)] ?? false;
      },
    },
    async () => {
      // What was asked in this turn is answered before the next.
      await new Promise((resolve) => setImmediate(resolve));
      turn += 1;
      if (turn >= turns) stop.abort();
    },
    stop.signal,
    (address, alive) => told.push(`${address} ${alive}`),
  );
  return told;
}

it('tells each change once: who gave a sign and gives none, and who comes', async () => {
  const script = { [A.address]: [true, true, false, false, true], [B.address]: [false, false, true, true] };
  expect(await felt(script, [A, B], 6)).toEqual([
    '192.0.2.11 true',
    '192.0.2.11 false',
    '192.0.2.12 true',
    '192.0.2.11 true',
  ]);
});

it('never tells as gone what gave no sign before', async () => {
  expect(await felt({ [A.address]: [false] }, [A], 5)).toEqual([]);
});

it('tells at once as gone what took a connection in the look before', async () => {
  const there = { ...A, tookConnection: true as const };
  expect(await felt({ [A.address]: [false, false, true] }, [there], 5)).toEqual([
    '192.0.2.11 false',
    '192.0.2.11 true',
  ]);
});

it('spreads a large site over its turn, and over more than a second where the pace is slow', async () => {
  const rests: number[] = [];
  const stop = new AbortController();
  const targets = Array.from({ length: 100 }, (_, at) => ({ address: `192.0.2.${at}` }));
  await keepPulse(
    () => targets,
    { everyMs: 900, framesPerSecond: 100, ask: async () => true },
    async (milliseconds) => {
      rests.push(milliseconds);
      if (rests.length === 7) stop.abort();
    },
    stop.signal,
    () => {},
  );
  // 100 questions of four frames at 100 frames a second take four seconds.
  expect(rests.reduce((sum, rest) => sum + rest, 0)).toBeCloseTo(4000, 6);
});

it('asks the port that takes connections, the one that is planned, or a datagram; nobody that is out of reach', () => {
  const plan = aPlan({
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https ssh' }),
      anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https' }),
      anEndpoint('vault-1/A/data0', { address: '192.0.2.13', services: '' }),
    ],
  });
  const sightings = [
    aSighting('192.0.2.11', { by: '00:00:5e:00:53:01', answers: 'ssh' }),
    aSighting('192.0.2.12', { by: false }),
    aSighting('192.0.2.13', { by: '00:00:5e:00:53:03' }),
    { ...aSighting('203.0.113.1', { by: false }), reach: 'no-route' as const },
  ];
  const targets = pulseTargets(plan, anEvidence({ sightings }));
  expect(targets.map(({ address, service }) => `${address} ${service?.name ?? 'datagram'}`)).toEqual([
    '192.0.2.11 ssh',
    '192.0.2.12 https',
    '192.0.2.13 datagram',
  ]);
  expect(targets.map(({ tookConnection }) => tookConnection)).toEqual([true, undefined, undefined]);
});
