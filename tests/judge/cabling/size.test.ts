import { expect, test } from 'vitest';
import { judgeCabling } from '../../../src/judge/cabling/index.js';
import { aDevice, anEndpoint, anEvidence, aPlan, aSighting } from '../../support/evidence.js';
import { aLink, aNeighbour, aSwitch, someLinks } from './tables.js';

const macOf = (n: number) =>
  `02:00:5e:00:${(n >> 8).toString(16).padStart(2, '0')}:${(n & 255).toString(16).padStart(2, '0')}`;

test('4,096 endpoints on 86 switches, with LLDP, tables and agents for all, are judged in seconds', () => {
  const count = 4096;
  const all = Array.from({ length: count }, (_, n) => ({ n, sw: Math.floor(n / 48), hole: (n % 48) + 1 }));
  const endpoints = all.map(({ n, sw, hole }) =>
    anEndpoint(`box-${n >> 2}/${n & 1 ? 'B' : 'A'}/p${n & 3}`, {
      role: 'data',
      address: `10.0.${n >> 8}.${n & 255}`,
      mac: macOf(n),
      switch: `sw-${sw}`,
      switchPort: `1/${hole}`,
      services: 'iscsi-target',
    }),
  );
  const names = [...new Set(all.map(({ sw }) => `sw-${sw}`))];
  const switches = names.map((name, sw) => {
    const here = all.filter((one) => one.sw === sw);
    return aSwitch(name, Object.fromEntries(here.map(({ n, hole }) => [macOf(n), hole])), {
      neighbours: here.map(({ n, hole }) =>
        aNeighbour(hole, { portId: `p${n & 3}`, sysName: `box-${n >> 2}` }),
      ),
    });
  });
  const evidence = anEvidence({
    switches,
    sightings: endpoints.map((e) => aSighting(e.address ?? '', { by: e.mac ?? '', answers: 'iscsi-target' })),
    links: all.map(({ n }) =>
      someLinks(`box-${n >> 2}`, [aLink(2, { mac: macOf(n) })], { askedAt: `a${n}` }),
    ),
  });
  const plan = aPlan({ endpoints, devices: names.map((name) => aDevice(name)) });
  const before = performance.now();
  const { perEndpoint } = judgeCabling(plan, [evidence]);
  const tookMs = performance.now() - before;
  expect([...perEndpoint.values()].filter((one) => one.findings.length > 0)).toEqual([]);
  expect([...perEndpoint.values()].filter((one) => one.measuredSwitch !== undefined)).toHaveLength(count);
  expect(tookMs).toBeLessThan(20_000);
});
