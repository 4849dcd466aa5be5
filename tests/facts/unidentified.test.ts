/** A planned identity that no answer told: said at the endpoint, and the verdict stays (DESIGN 6 has no row for it). */
import { expect, it } from 'vitest';
import type { AddressSighting } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, anEndpoint, anEvidence, aPlan, aSighting, mac, notRun } from '../support/evidence.js';

const A = '192.0.2.11';

function judged(
  device: Parameters<typeof aDevice>[1],
  sighting: AddressSighting,
  endpoint: Parameters<typeof anEndpoint>[1] = {},
) {
  const plan = aPlan({
    devices: [aDevice('vault-1', device)],
    endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, services: 'https ssh', ...endpoint })],
  });
  const [result] = judge(plan, [anEvidence({ sightings: [sighting] })], { review: [] }).endpoints;
  return { verdict: result?.verdict, reasons: result?.reasons ?? [] };
}

const NOT_IDENTIFIED = `the device at ${A} was not identified`;
const serial = { identity: { serial: 'SN-7711' } };

it.each([
  [
    'no credential',
    { serial: 'SN-7711', sysName: 'vault-1*' },
    {},
    'planned sysName and serial number not read: no credential',
  ],
  [
    'an agent without the table of parts',
    { serial: 'SN-7711' },
    { snmp: { outcome: 'replied', version: '2c', credential: 'site-ro' } as const },
    'planned serial number not read: SNMP answers and does not tell it',
  ],
  [
    'a silent agent',
    { sysName: 'vault-1' },
    { snmp: { outcome: 'no-reply', credential: 'site-ro' } as const },
    'planned sysName not read: SNMP does not answer (credential site-ro)',
  ],
  ['no Redfish root', { uuid: '6915e2f4-*' }, {}, 'planned Redfish UUID not read: no Redfish root tells it'],
  ['a page without a title', { title: 'Vault*' }, {}, 'planned web title not read: the web page has none'],
])('%s: said, and the verdict stays', (_why, identity, more, line) => {
  const { verdict, reasons } = judged({ identity }, aSighting(A, { answers: 'https ssh', ...more }));
  expect(verdict).toBe('matches');
  expect(reasons).toContain(line);
  expect(reasons).toContain(NOT_IDENTIFIED);
});

it('says it in one line at a port where nothing planned could tell it', () => {
  const device = { identity: { title: 'Vault*', ssh: 'SSH-2.0-vault*', sysName: 'vault-1' } };
  const port = { services: 'iscsi-target', role: 'data' } as const;
  const { verdict, reasons } = judged(device, aSighting(A, { answers: 'iscsi-target' }), port);
  expect(verdict).toBe('matches');
  expect(reasons.filter((line) => /not read|not identified/.test(line))).toEqual([
    `${NOT_IDENTIFIED}: nothing that is planned at this port tells the sysName or the web title or the SSH line`,
  ]);
});

it.each([
  ['the address', { addresses: [A] }],
  ['the MAC that claims it', { addresses: [], mac: mac(1) }],
])('is identified where the agent of the device has %s on a port of its own', (_what, port) => {
  const agent = '192.0.2.21';
  const plan = aPlan({
    devices: [aDevice('vault-1', { identity: { sysName: 'vault-1' } })],
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: agent, services: 'snmp' }),
      anEndpoint('vault-1/A/data0', { address: A, services: 'iscsi-target', role: 'data', interface: 'e0a' }),
    ],
  });
  const sightings = [
    aSighting(agent, { answers: 'snmp', by: mac(9), identity: { snmp: { sysName: 'vault-1' } } }),
    aSighting(A, { answers: 'iscsi-target', by: mac(1) }),
  ];
  const links = [
    {
      device: 'vault-1',
      askedAt: agent,
      links: [{ ifIndex: 3, ifName: 'e0a', operStatus: 'up' as const, ...port }],
    },
  ];
  const told = (evidence: Parameters<typeof anEvidence>[0]) =>
    judge(plan, [anEvidence(evidence)], { review: [] }).endpoints[1]?.reasons.join();
  expect(told({ sightings, links })).not.toContain('not identified');
  expect(told({ sightings })).toContain('not identified');
});

it('is identified by the planned MAC, or by the part of the identity that was read', () => {
  const byMac = judged(serial, aSighting(A, { answers: 'https ssh', by: mac(1) }), { mac: mac(1) });
  const byName = judged(
    { identity: { serial: 'SN-7711', sysName: 'vault-1' } },
    aSighting(A, { answers: 'https ssh', identity: { snmp: { sysName: 'vault-1' } } }),
  );
  for (const { verdict, reasons } of [byMac, byName]) {
    expect(verdict).toBe('matches');
    expect(reasons).toContain('planned serial number not read: no credential');
    expect(reasons).not.toContain(NOT_IDENTIFIED);
  }
});

it('says that a MAC prefix alone shows the make, not the device', () => {
  const { reasons } = judged(
    { ...serial, macPrefixes: ['00:00:5e:00:53'] },
    aSighting(A, { answers: 'https ssh' }),
  );
  expect(reasons).toContain(`nothing but the MAC prefix shows which device is at ${A}`);
});

it('is no matter where the whole planned identity was read, or none is planned, or nobody is there', () => {
  const read = judged(
    serial,
    aSighting(A, { answers: 'https ssh', identity: { snmp: { serials: ['sn-7711'] } } }),
  );
  const unstated = judged({}, aSighting(A, { answers: 'https ssh' }));
  const absent = judged(serial, aSighting(A, { by: false, snmp: notRun('nobody claims the address') }));
  expect(absent.verdict).toBe('missing');
  for (const { reasons } of [read, unstated, absent])
    expect(reasons.filter((line) => /not read|not identified/.test(line))).toEqual([]);
});
