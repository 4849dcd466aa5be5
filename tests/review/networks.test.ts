import { expect, test } from 'vitest';
import { aNetwork, anEndpoint } from '../support/evidence.js';
import { brief, found } from './support.js';

// Blocks of RFC 4632 §6.1: neighbours that do not overlap, and the /13 that holds them.
test.each<[string, string, boolean]>([
  ['10.24.8.0/22', '10.24.12.0/22', false],
  ['10.24.16.0/20', '10.24.32.0/23', false],
  ['10.24.0.0/13', '10.24.34.0/23', true],
  ['10.24.0.0/13', '10.32.0.0/20', false],
  ['10.24.0.0/21', '10.24.0.0/21', true],
  ['192.0.2.0/24', '2001:db8::/64', false],
  ['2001:db8::/32', '2001:db8:1::/48', true],
])('networks-overlap: %s and %s: %s', (first, second, overlap) => {
  const findings = found('networks-overlap', {
    networks: [aNetwork('one', first), aNetwork('two', second)],
  });
  expect(findings).toHaveLength(overlap ? 1 : 0);
});

test('every pair that overlaps is named, also behind a wide one', () => {
  const findings = found('networks-overlap', {
    networks: [aNetwork('wide', '10.0.0.0/8'), aNetwork('a', '10.1.0.0/16'), aNetwork('b', '10.1.2.0/24')],
  });
  expect(findings.map((finding) => finding.message)).toEqual(
    expect.arrayContaining([
      'wide (10.0.0.0/8) and a (10.1.0.0/16) share addresses.',
      'wide (10.0.0.0/8) and b (10.1.2.0/24) share addresses.',
      'a (10.1.0.0/16) and b (10.1.2.0/24) share addresses.',
    ]),
  );
  expect(findings).toHaveLength(3);
});

test('thousands that all overlap are all named, in some sentences each and not in millions', () => {
  const networks = Array.from({ length: 2_000 }, (_, n) => aNetwork(`n${n}`, '10.0.0.0/8'));
  const findings = found('networks-overlap', { networks });
  expect(findings.length).toBeLessThan(4 * networks.length);
  const named = new Set(findings.flatMap(({ message }) => message.match(/n\d+/g) ?? []));
  expect(named.size).toBe(networks.length);
});

// RFC 950 appendix II: gateway 128.99.4.62 in 128.99.4.0/22; RFC 3021 §2.1 for /31; RFC 4861 §4.2 for fe80.
test.each<[string, string, string | undefined]>([
  ['128.99.4.0/22', '128.99.4.62', undefined],
  ['128.99.4.0/22', '128.99.8.1', 'is not in'],
  ['192.0.2.0/24', '192.0.2.0', 'is the network address of'],
  ['192.0.2.0/24', '192.0.2.255', 'is the broadcast address of'],
  ['192.0.2.0/31', '192.0.2.0', undefined],
  ['192.0.2.0/24', '2001:db8::1', 'is not in'],
  ['2001:db8::/64', 'fe80::1', undefined],
  ['2001:db8::/64', '2001:db8:1::1', 'is not in'],
])('gateway-outside-network: %s with gateway %s: %s', (cidr, gateway, words) => {
  const findings = found('gateway-outside-network', { networks: [aNetwork('mgmt', cidr, { gateway })] });
  expect(brief(findings)).toEqual(words === undefined ? [] : ['fix mgmt']);
  if (words !== undefined) expect(findings[0]?.message).toContain(words);
});

test.each([
  ['routed and without a gateway', { routed: true }, ['note mgmt']],
  ['routed with one', { routed: true, gateway: '192.0.2.1' }, []],
  ['not routed', { routed: false }, []],
])('no-gateway-in-routed-network: %s', (_case, more, expected) => {
  const networks = [aNetwork('mgmt', '192.0.2.0/24', more)];
  const endpoints = [anEndpoint('vault-1/mgmt', { address: '192.0.2.5' })];
  const findings = found('no-gateway-in-routed-network', { networks, endpoints });
  expect(brief(findings)).toEqual(expected);
});

test.each([
  ['the same id', aNetwork('b', '198.51.100.0/24', { vlan: 20 }), ['fix a']],
  ['another id', aNetwork('b', '198.51.100.0/24', { vlan: 21 }), []],
  ['no id', aNetwork('b', '198.51.100.0/24'), []],
  ['IPv6 beside IPv4 on one VLAN is ordinary', aNetwork('b', '2001:db8::/64', { vlan: 20 }), []],
  ['a fabric has no VLAN in this sense', aNetwork('b', undefined, { vlan: 20 }), []],
])('vlan-duplicate: %s', (_case, other, expected) => {
  const networks = [aNetwork('a', '192.0.2.0/24', { vlan: 20 }), other];
  expect(brief(found('vlan-duplicate', { networks }))).toEqual(expected);
});
