/** One lying device, or all of them, leave a result that can be read (issue 13.4). */
import { expect, test } from 'vitest';
import { jsonChunks } from '../../src/files/json-chunks.js';
import { buildMatrix } from '../../src/result/build.js';
import { createCeilings } from '../../src/sighting/ceilings.js';
import type { AddressSighting, DeviceLinks } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, aNetwork, anEndpoint, anEvidence, aPlan, aSighting } from '../support/evidence.js';

const LONG = 'x'.repeat(223);
const targets = (count: number, portals = 1) =>
  Array.from({ length: count }, (_, index) => ({
    name: `iqn.2030-01.example:${index}-${LONG}`.slice(0, 223),
    portals: Array.from({ length: portals }, (_unused, port) => ({
      address: `198.51.100.${port % 250}`,
      port: 3260 + port,
    })),
  }));

/** As much as its readers let through (src/wire/iscsi/targets.ts: 256 targets, 1,024 portals). */
function lying(address: string): AddressSighting {
  return aSighting(address, {
    answers: 'https iscsi-target',
    identity: {
      http: { port: 80, status: 200, title: LONG, server: LONG, location: LONG },
      ssh: { line: LONG, port: 22 },
      snmp: {
        sysName: LONG,
        sysDescr: LONG,
        sysLocation: LONG,
        sysContact: LONG,
        serials: Array.from({ length: 16 }, () => LONG),
      },
    },
    iscsi: {
      outcome: 'listed',
      targets: targets(256, 4),
      unreadable: Array.from({ length: 32 }, () => LONG),
    },
  });
}

const links = (device: string, count: number): DeviceLinks => ({
  device,
  askedAt: '192.0.2.1',
  links: Array.from({ length: count }, (_, ifIndex) => ({
    ifIndex,
    ifName: LONG,
    ifDescr: LONG,
    addresses: [],
  })),
});

const size = (value: unknown) => JSON.stringify(value).length;

test('an honest answer is kept as it is', () => {
  const ceilings = createCeilings();
  const honest = aSighting('192.0.2.11', {
    answers: 'https iscsi-target',
    identity: { snmp: { sysName: 'vault-1' } },
    iscsi: { outcome: 'listed', targets: targets(16, 8) },
  });
  expect(ceilings.sighting(honest)).toBe(honest);
  const ports = links('vault-1', 100);
  expect(ceilings.links(ports)).toBe(ports);
  expect(ceilings.cut()).toEqual([]);
});

test('what one device may fill is bounded, what was cut is counted, and who it was is known', () => {
  const ceilings = createCeilings();
  const kept = ceilings.sighting(lying('192.0.2.11'));
  expect(size(kept)).toBeLessThan(110_000);
  expect(kept.iscsi).toMatchObject({ outcome: 'listed' });
  if (kept.iscsi.outcome !== 'listed') throw new Error('not listed');
  const portals = kept.iscsi.targets.reduce((sum, target) => sum + target.portals.length, 0);
  expect(portals).toBeGreaterThan(0);
  expect(portals + (kept.iscsi.cut ?? 0)).toBe(1024);
  expect(kept.tcp).toEqual(lying('192.0.2.11').tcp);
  const rows = ceilings.links(links('vault-1', 20_000));
  expect(size(rows)).toBeLessThan(401_000);
  expect(rows).toMatchObject({ cutBecause: 'too-much' });
  expect(ceilings.cut()).toEqual(['192.0.2.11', '192.0.2.1']);
});

test('liars use up the sum, and an honest device after them is kept whole all the same', () => {
  const ceilings = createCeilings();
  for (let n = 0; n < 200; n += 1) ceilings.sighting(lying(`192.0.2.${n}`));
  const honest = aSighting('192.0.2.250', { answers: 'https', identity: { snmp: { sysName: 'vault-1' } } });
  expect(ceilings.sighting(honest)).toBe(honest);
  expect(size(ceilings.sighting(lying('192.0.2.251')))).toBeLessThan(8_000);
});

test('4,096 endpoints that all lie: the result stays below 64 MB', { timeout: 300_000 }, () => {
  const numbers = Array.from({ length: 4096 }, (_, n) => n);
  const address = (n: number) => `10.0.${n >> 8}.${n & 255}`;
  const plan = aPlan({
    networks: [aNetwork('hall', '10.0.0.0/16')],
    devices: numbers.filter((n) => n % 4 === 0).map((n) => aDevice(`device-${n >> 2}`)),
    endpoints: numbers.map((n) =>
      anEndpoint(`device-${n >> 2}/${n & 1 ? 'B' : 'A'}/p${n & 3}`, {
        network: 'hall',
        address: address(n),
        role: 'data',
        services: 'https iscsi-target',
        group: `device-${n >> 2} data`,
      }),
    ),
  });
  const ceilings = createCeilings();
  const evidence = anEvidence({
    sightings: numbers.map((n) => ceilings.sighting(lying(address(n)))),
    links: numbers.filter((n) => n % 4 === 0).map((n) => ceilings.links(links(`device-${n >> 2}`, 2048))),
  });
  const matrix = buildMatrix({
    run: { id: 'x', version: '0' },
    plan,
    evidence: [evidence],
    judgement: judge(plan, [evidence], { review: [] }),
  });
  let bytes = 0;
  for (const chunk of jsonChunks(matrix)) bytes += Buffer.byteLength(chunk);
  expect(bytes / 1e6).toBeLessThan(64);
});
