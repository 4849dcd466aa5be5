import { expect, test } from 'vitest';
import type { Network } from '../../src/plan/model.js';
import { aNetwork, anEndpoint } from '../support/evidence.js';
import { brief, found } from './support.js';

const at = (address: string, network?: string) =>
  anEndpoint('vault-1/A/mgmt', { address, ...(network === undefined ? {} : { network }) });

// RFC 4632 §6.1 for the blocks, RFC 950 appendix II for 128.99.4.0/22.
test.each<[string, string, string, boolean]>([
  ['10.24.12.0/22', '10.24.15.255', 'last address of the block; inside (though a broadcast)', false],
  ['10.24.12.0/22', '10.24.16.0', 'the next block begins here', true],
  ['10.24.8.0/22', '10.24.12.1', 'belongs to the neighbour block', true],
  ['10.24.0.0/13', '10.31.255.254', 'last host of the /13', false],
  ['10.24.0.0/13', '10.32.0.1', 'the block after the /13', true],
  ['128.99.4.0/22', '128.99.7.254', 'last host of the /22', false],
  ['2001:db8::/64', '2001:db8:0:1::1', 'another /64', true],
  ['2001:db8::/64', '192.0.2.1', 'another family', true],
])('address-outside-network: %s and %s: %s', (cidr, address, _reason, outside) => {
  const findings = found('address-outside-network', {
    networks: [aNetwork('mgmt', cidr)],
    endpoints: [at(address, 'mgmt')],
  });
  expect(brief(findings)).toEqual(outside ? ['fix vault-1/A/mgmt'] : []);
});

test('address-outside-network tells the network that the address does lie in', () => {
  const [finding] = found('address-outside-network', {
    networks: [aNetwork('mgmt', '192.0.2.0/24'), aNetwork('data-a', '198.51.100.0/25')],
    endpoints: [at('198.51.100.7', 'mgmt')],
  });
  expect(finding?.message).toBe(
    'vault-1/A/mgmt has 198.51.100.7, which is not in mgmt (192.0.2.0/24); it lies in data-a.',
  );
});

test('a row without a network is told where no network fits, and not where the plan has no networks', () => {
  const endpoints = [at('203.0.113.9')];
  expect(brief(found('address-outside-network', { endpoints }))).toEqual(['fix vault-1/A/mgmt']);
  expect(found('address-outside-network', { networks: [], endpoints })).toEqual([]);
});

// RFC 1878 table of class C subnets, RFC 3021 §2.1 for /31, RFC 4291 §2.6.1 for IPv6, RFC 6164 for /127.
test.each<[string, string, string | undefined]>([
  ['192.0.2.0/26', '192.0.2.0', 'network'],
  ['192.0.2.0/26', '192.0.2.63', 'broadcast'],
  ['192.0.2.0/24', '192.0.2.63', undefined],
  ['192.0.2.64/26', '192.0.2.64', 'network'],
  ['192.0.2.4/30', '192.0.2.7', 'broadcast'],
  ['192.0.2.4/30', '192.0.2.6', undefined],
  ['192.0.2.0/31', '192.0.2.0', undefined],
  ['192.0.2.254/31', '192.0.2.255', undefined],
  ['192.0.2.255/32', '192.0.2.255', undefined],
  ['2001:db8::/64', '2001:db8::', 'subnet-router anycast'],
  ['2001:db8::/64', '2001:db8::1', undefined],
  ['2001:db8::/127', '2001:db8::', undefined],
])('address-is-network-or-broadcast: in %s, %s is %s', (cidr, address, kind) => {
  const findings = found('address-is-network-or-broadcast', {
    networks: [aNetwork('mgmt', cidr)],
    endpoints: [at(address)],
  });
  expect(findings.map((finding) => finding.message)).toEqual(
    kind === undefined ? [] : [`vault-1/A/mgmt has ${address}, which is the ${kind} address of ${cidr}.`],
  );
});

test('without a network the prefix in the row decides what is a broadcast address', () => {
  const endpoint = { ...at('192.0.2.127'), prefixBits: 25 };
  expect(found('address-is-network-or-broadcast', { networks: [], endpoints: [endpoint] })).toHaveLength(1);
  expect(
    found('address-is-network-or-broadcast', { networks: [], endpoints: [{ ...endpoint, prefixBits: 24 }] }),
  ).toEqual([]);
});

const mgmt: Network = aNetwork('mgmt', '192.0.2.0/24', { gateway: '192.0.2.1' });

// Common practice, no source: which devices may be the router of their network.
test.each([
  ['an array is no router', anEndpoint('vault-1/A/mgmt', { address: '192.0.2.1' }), ['stop vault-1/A/mgmt']],
  [
    'a device of role other may be the router',
    anEndpoint('edge/lan', { address: '192.0.2.1', role: 'other' }),
    ['note edge/lan'],
  ],
  ['a switch may route', anEndpoint('loft-switch-1/vlan10', { address: '192.0.2.1', role: 'switch' }), []],
  [
    'a moving address may be the gateway',
    anEndpoint('loft-1/vrrp', { address: '192.0.2.1', virtual: true }),
    [],
  ],
  ['another address', anEndpoint('vault-1/A/mgmt', { address: '192.0.2.2' }), []],
])('address-is-gateway: %s', (_reason, endpoint, expected) => {
  expect(brief(found('address-is-gateway', { networks: [mgmt], endpoints: [endpoint] }))).toEqual(expected);
});

test('the management port of a switch may be the gateway too', () => {
  const endpoints = [
    anEndpoint('loft-switch-1/mgmt', { address: '192.0.2.1' }),
    anEndpoint('loft-switch-1/port1', { role: 'switch' }),
  ];
  expect(found('address-is-gateway', { networks: [mgmt], endpoints })).toEqual([]);
});
