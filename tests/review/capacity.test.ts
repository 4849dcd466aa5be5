import { expect, test } from 'vitest';
import type { Network } from '../../src/plan/model.js';
import { reviewPlan } from '../../src/review/review.js';
import { aNetwork, anEndpoint, aPlan } from '../support/evidence.js';
import { brief, found } from './support.js';

function capacity(network: Network, addresses: readonly string[] = []) {
  const endpoints = addresses.map((address, index) =>
    anEndpoint(`device-${index}/mgmt`, { address, network: network.name }),
  );
  const [row] = reviewPlan(aPlan({ networks: [network], endpoints })).capacity;
  return row;
}

// Usable hosts: RFC 1878 table, RFC 3021 §2.1 (/31), RFC 4632 (/32 host route); IPv6: computed, less the anycast of RFC 4291 §2.6.1.
test.each<[string, number]>([
  ['192.0.2.0/22', 1022],
  ['192.0.2.0/24', 254],
  ['192.0.2.0/25', 126],
  ['192.0.2.0/28', 14],
  ['192.0.2.0/29', 6],
  ['192.0.2.0/30', 2],
  ['192.0.2.0/31', 2],
  ['192.0.2.0/32', 1],
  ['2001:db8::/120', 255],
  ['2001:db8::/127', 2],
  ['2001:db8::/64', Number.MAX_SAFE_INTEGER],
])('capacity: %s has %i usable addresses', (cidr, usable) => {
  expect(capacity(aNetwork('n', cidr))).toMatchObject({ usable, planned: 0, reserved: 0, left: usable });
});

test('capacity: reserved ranges are merged and clipped, the gateway counts, nothing is taken twice', () => {
  const network = aNetwork('n', '192.0.2.0/24', {
    gateway: '192.0.2.254',
    reserved: [
      { first: '192.0.2.0', last: '192.0.2.9' }, // .0 is no host address
      { first: '192.0.2.5', last: '192.0.2.12' },
    ],
  });
  // 12 in the ranges + the gateway = 13; .12 is planned and reserved, .20 planned twice.
  expect(capacity(network, ['192.0.2.12', '192.0.2.20', '192.0.2.20', '203.0.113.1'])).toEqual({
    network: 'n',
    cidr: '192.0.2.0/24',
    usable: 254,
    planned: 2,
    reserved: 13,
    left: 240,
  });
});

test('capacity: a gateway inside a reserved range, or planned, counts once', () => {
  const reserved = [{ first: '192.0.2.1', last: '192.0.2.9' }];
  expect(capacity(aNetwork('n', '192.0.2.0/24', { gateway: '192.0.2.1', reserved }))).toMatchObject({
    reserved: 9,
    left: 245,
  });
  expect(capacity(aNetwork('n', '192.0.2.0/24', { gateway: '192.0.2.1' }), ['192.0.2.1'])).toMatchObject({
    planned: 1,
    reserved: 0,
    left: 253,
  });
});

test('capacity: a fabric without addresses has no row', () => {
  expect(capacity(aNetwork('fabric-a'))).toBeUndefined();
});

const boxes = (amount: number, virtual = 0) => [
  ...Array.from({ length: amount }, (_, i) =>
    anEndpoint(`device-${i}/mgmt`, { address: `192.0.2.${1 + (i % 6)}`, network: 'n' }),
  ),
  ...Array.from({ length: virtual }, (_, i) =>
    anEndpoint(`device-${i}/float`, { address: '192.0.2.6', network: 'n', virtual: true }),
  ),
];

// A /29 has 6 host addresses (RFC 1878).
test.each<[string, number, number, Partial<Network>, string[]]>([
  ['six devices fit a /29', 6, 0, {}, []],
  ['seven do not', 7, 0, {}, ['stop n']],
  [
    'six do not where the gateway takes one',
    6,
    0,
    { gateway: '192.0.2.6', reserved: [{ first: '192.0.2.6', last: '192.0.2.6' }] },
    ['stop n'],
  ],
  ['a moving address listed five times counts once', 5, 5, {}, []],
])('not-enough-addresses: %s', (_case, amount, virtual, more, expected) => {
  const findings = found('not-enough-addresses', {
    networks: [aNetwork('n', '192.0.2.0/29', more)],
    endpoints: boxes(amount, virtual),
  });
  expect(brief(findings)).toEqual(expected);
});

test('not-enough-addresses says how many are short', () => {
  const [finding] = found('not-enough-addresses', {
    networks: [aNetwork('n', '192.0.2.0/29')],
    endpoints: boxes(8),
  });
  expect(finding?.message).toBe(
    "n (192.0.2.0/29) needs 8 addresses and has 6: 6 usable, 0 reserved or the gateway's.",
  );
  expect(finding?.advice).toContain('2 more addresses');
});
