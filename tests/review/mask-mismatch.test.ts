import { expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import { reviewPlan } from '../../src/review/review.js';
import { aNetwork, anEndpoint, aPlan } from '../support/evidence.js';
import { found } from './support.js';

const net = aNetwork('mgmt', '192.0.2.0/24', { gateway: '192.0.2.1' });
const loose = aNetwork('mgmt');

function ends(...more: Partial<Endpoint>[]): Endpoint[] {
  return more.map((one, index) =>
    anEndpoint(`device-${index + 1}/mgmt`, {
      address: `192.0.2.${11 + index}`,
      network: 'mgmt',
      ...one,
      services: 'ssh',
    }),
  );
}

const messages = (networks: Parameters<typeof aPlan>[0]['networks'], endpoints: Endpoint[]) =>
  found('mask-mismatch', { ...(networks === undefined ? {} : { networks }), endpoints }).map(
    (f) => f.message,
  );

test('rows that agree with their network, or say nothing, are fine', () => {
  expect(messages([net], ends({ prefixBits: 24 }, { prefixBits: 24 }, {}))).toEqual([]);
});

test('a prefix that differs from the network names the network as the measure', () => {
  expect(messages([net], ends({ prefixBits: 24 }, { prefixBits: 25 }, { prefixBits: 25 }))).toEqual([
    'In mgmt the network says /24, but the list has /25 for device-2/mgmt and device-3/mgmt.',
  ]);
});

test('without a CIDR the majority of the neighbours is the measure', () => {
  expect(messages([loose], ends({ prefixBits: 24 }, { prefixBits: 24 }, { prefixBits: 16 }))).toEqual([
    'In mgmt most rows say /24, but the list has /16 for device-3/mgmt.',
  ]);
});

// Mask to prefix: RFC 1878 table 1. 255.255.255.88 is the broken mask of RFC 950 appendix II; RFC 4632 §3.1 knows only unbroken ones.
test.each<[string, string[]]>([
  ['255.255.255.0', []],
  ['/24', []],
  ['24', []],
  ['255.255.255.128', ['In mgmt the network says /24, but the list has /25 for device-1/mgmt.']],
  ['255.255.255.88', ['In mgmt the network says /24, but the list has 255.255.255.88 for device-1/mgmt.']],
  ['see drawing', []],
])('a column called "Subnet Mask" counts: %s', (mask, expected) => {
  expect(messages([net], ends({ extra: { 'Subnet Mask': mask } }))).toEqual(expected);
});

test('a gateway column that differs from the network, or between neighbours, is told', () => {
  const rows = ends(
    { extra: { Gateway: '192.0.2.1' } },
    { extra: { Gateway: '192.0.2.1' } },
    { extra: { 'default-gateway': '192.0.2.254' } },
  );
  expect(messages([net], rows)).toEqual([
    'In mgmt the network says gateway 192.0.2.1, but the list has 192.0.2.254 for device-3/mgmt.',
  ]);
  expect(messages([loose], rows)).toEqual([
    'In mgmt most rows say gateway 192.0.2.1, but the list has 192.0.2.254 for device-3/mgmt.',
  ]);
});

test('networks guessed from differing prefixes are a matter of masks, not two networks that overlap', () => {
  const guessed = (cidr: string) => aNetwork(cidr, cidr, { inferred: true });
  const endpoints = ends(
    { prefixBits: 24, network: '192.0.2.0/24' },
    { prefixBits: 24, network: '192.0.2.0/24' },
    { prefixBits: 25, network: '192.0.2.0/25' },
  );
  const plan = aPlan({ networks: [guessed('192.0.2.0/24'), guessed('192.0.2.0/25')], endpoints });
  expect(reviewPlan(plan).findings.map((f) => `${f.code}: ${f.message}`)).toEqual([
    'mask-mismatch: In 192.0.2.0/24 most rows say /24, but the list has /25 for device-3/mgmt.',
  ]);
});

test('the rows that are odd are the evidence', () => {
  const [finding] = found('mask-mismatch', {
    networks: [net],
    endpoints: ends({ prefixBits: 24 }, { prefixBits: 25, at: { file: 'list.csv', row: 7 } }),
  });
  expect(finding?.evidence).toEqual(['list.csv row 7: device-2/mgmt 192.0.2.12 /25']);
  expect(finding?.about).toEqual(['device-2/mgmt']);
});
