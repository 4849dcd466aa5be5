import { expect, test } from 'vitest';
import { aDevice, aNetwork, anEndpoint, anEvidence, aPlan, aSighting } from '../support/evidence.js';
import { judgeCabling } from './judged.js';
import { aLink, aNeighbour, aSwitch, someLinks } from './tables.js';

const macOf = (n: number) =>
  `02:00:5e:00:${(n >> 8).toString(16).padStart(2, '0')}:${(n & 255).toString(16).padStart(2, '0')}`;

/** A site with a switch for every 48 endpoints, and LLDP, tables and agents for all. */
function site(count: number) {
  const all = Array.from({ length: count }, (_, n) => ({ n, sw: Math.floor(n / 48), at: (n % 48) + 1 }));
  const endpoints = all.map(({ n, sw, at }) =>
    anEndpoint(`device-${n >> 2}/${n & 1 ? 'B' : 'A'}/p${n & 3}`, {
      role: 'data',
      network: 'data',
      address: `10.0.${n >> 8}.${n & 255}`,
      mac: macOf(n),
      switch: `sw-${sw}`,
      switchPort: `1/${at}`,
      services: 'iscsi-target',
    }),
  );
  const names = [...new Set(all.map(({ sw }) => `sw-${sw}`))];
  const switches = names.map((name, sw) => {
    const here = all.filter((one) => one.sw === sw);
    return aSwitch(name, Object.fromEntries(here.map(({ n, at }) => [macOf(n), at])), {
      neighbours: here.map(({ n, at }) =>
        aNeighbour(at, { portId: `p${n & 3}`, sysName: `device-${n >> 2}` }),
      ),
    });
  });
  const evidence = anEvidence({
    switches,
    sightings: endpoints.map((e) => aSighting(e.address ?? '', { by: e.mac ?? '', answers: 'iscsi-target' })),
    links: all.map(({ n }) =>
      someLinks(`device-${n >> 2}`, [aLink(2, { mac: macOf(n) })], { askedAt: `a${n}` }),
    ),
  });
  const plan = aPlan({
    endpoints,
    devices: names.map((name) => aDevice(name)),
    networks: [aNetwork('data')],
  });
  return { plan, evidence };
}

function bestOfThreeMs(count: number): number {
  const { plan, evidence } = site(count);
  const times = [1, 2, 3].map(() => {
    // Work, not time on the wall: the machine has others to serve.
    const before = process.cpuUsage().user;
    const { perEndpoint } = judgeCabling(plan, [evidence]);
    const tookMs = (process.cpuUsage().user - before) / 1000;
    const all = [...perEndpoint.values()];
    expect(all.filter((one) => one.findings.length > 0)).toEqual([]);
    expect(all.filter((one) => one.measuredSwitch !== undefined)).toHaveLength(count);
    return tookMs;
  });
  return Math.min(...times);
}

test('time grows with the site and not with its square: four times the endpoints, far less than sixteen times the time', () => {
  bestOfThreeMs(256);
  expect(bestOfThreeMs(1536) / bestOfThreeMs(384)).toBeLessThan(13);
});
