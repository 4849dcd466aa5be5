/** One lying device, or all of them, leave a result that can be read (issue 13.4). 4,096 of them: tests/long/lying.test.ts. */
import { expect, test } from 'vitest';
import { forgetSecrets, Secret } from '../../src/plan/secret.js';
import { createCeilings } from '../../src/sighting/ceilings.js';
import { anEvidence, aSighting, mac } from '../support/evidence.js';
import { links, lying, lyingResult, measured, targets } from './lying-site.js';

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

test('a device that sends back the secret it was asked with does not bring it into the result', () => {
  const community = new Secret('quiet-"harbour');
  new Secret('vault');
  const ceilings = createCeilings();
  const echo = `it is ${community.reveal()} here`;
  const seen = aSighting('192.0.2.11', {
    answers: 'https',
    identity: {
      https: { port: 443, status: 200, title: echo },
      snmp: { sysName: 'vault-1', sysDescr: echo },
    },
  });
  const kept = ceilings.sighting(seen);
  expect(kept.identity).toEqual({
    https: { port: 443, status: 200, title: 'it is (hidden) here' },
    snmp: { sysName: 'vault-1', sysDescr: 'it is (hidden) here' },
  });
  const changed = [{ what: 'sysName', first: 'vault-1', later: echo }];
  expect(JSON.stringify(ceilings.changed({ ...kept, identity: { changed } }))).not.toContain('harbour');
  const power = ceilings.power({
    device: 'x',
    askedAt: '192.0.2.1',
    supplies: [{ name: echo, state: 'not-working' }],
  });
  expect(power.supplies[0]?.name).toBe('it is (hidden) here');
  forgetSecrets();
});

test('liars use up the sum, and an honest device after them is kept whole all the same', () => {
  const ceilings = createCeilings();
  for (let n = 0; n < 200; n += 1) ceilings.sighting(lying(`192.0.2.${n}`));
  const honest = aSighting('192.0.2.250', { answers: 'https', identity: { snmp: { sysName: 'vault-1' } } });
  expect(ceilings.sighting(honest)).toBe(honest);
  expect(size(ceilings.sighting(lying('192.0.2.251')))).toBeLessThan(8_000);
});

test('claims that come late are bounded as well', () => {
  const ceilings = createCeilings();
  const macs = Array.from({ length: 200 }, (_, n) => mac(n));
  const seen = aSighting('192.0.2.11', { answers: 'https' });
  const presence = {
    outcome: 'claimed' as const,
    claims: macs.map((one) => ({ mac: one, method: 'capture' as const, count: 1 })),
    methods: ['capture' as const],
    macs,
    duplicateCheck: 'proven' as const,
  };
  const kept = ceilings.presence({ ...seen, presence });
  expect(size(kept.presence)).toBeLessThan(2_000);
  expect(kept.presence).toMatchObject({ outcome: 'claimed', macs: macs.slice(0, 4) });
  expect(ceilings.cut()).toEqual(['192.0.2.11']);
});

test('what another place sends is bounded in each of its parts, and a note says so', () => {
  const ceilings = createCeilings();
  const sent = anEvidence({
    sightings: [lying('192.0.2.11')],
    links: [links('vault-1', 20_000)],
    proxyArp: Array.from({ length: 2_000 }, () => ({
      network: 'mgmt',
      mac: mac(1),
      askedAddress: '192.0.2.250',
      answeredBy: Array.from({ length: 2_000 }, (_, n) => mac(n % 250)),
    })),
  });
  const kept = ceilings.evidence(sent);
  expect(size(kept)).toBeLessThan(620_000);
  expect(kept.notes.join('\n')).toContain(
    'More was told than is kept, and cut, at 192.0.2.11 and 192.0.2.1.',
  );
});

test('256 endpoints that all lie: the result stays small, and no part that is written is large', () => {
  const { bytes, largest } = measured(lyingResult(256).chunks);
  expect(bytes / 1e6).toBeLessThan(32);
  expect(largest / 1e6).toBeLessThan(4);
}, 120_000);
