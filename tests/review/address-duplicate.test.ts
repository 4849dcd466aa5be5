import { expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import { anEndpoint, mac } from '../support/evidence.js';
import { brief, found, row } from './support.js';

const A = '192.0.2.11';
const VRRP = '00:00:5e:00:01:07'; // RFC 9568 §7.3

test.each<[string, Endpoint[], string[]]>([
  [
    'two devices',
    [anEndpoint('vault-1/A/mgmt', { address: A }), anEndpoint('press-1/mgmt', { address: A })],
    [`stop ${A}`],
  ],
  [
    'two controllers of one device',
    [anEndpoint('vault-1/A/mgmt', { address: A }), anEndpoint('vault-1/B/mgmt', { address: A })],
    [`stop ${A}`],
  ],
  [
    'one port listed twice with its MAC: a slip in the list, nothing unsafe',
    [
      anEndpoint('vault-1/A/mgmt', { address: A, mac: mac(1) }),
      anEndpoint('vault-1/A/admin', { address: A, mac: mac(1) }),
    ],
    [`fix ${A}`],
  ],
  [
    'a moving address listed at both controllers',
    [
      anEndpoint('vault-1/A/float', { address: A, virtual: true }),
      anEndpoint('vault-1/B/float', { address: A, virtual: true }),
    ],
    [],
  ],
  [
    'a VRRP address listed at both routers (RFC 9568 §7.3)',
    [
      anEndpoint('loft-switch-1/vlan10', { address: A, mac: VRRP }),
      anEndpoint('loft-switch-2/vlan10', { address: A, mac: VRRP }),
    ],
    [],
  ],
  [
    'a VRRP address that one router owns (RFC 9568, address owner)',
    [
      anEndpoint('loft-switch-1/vlan10', { address: A, mac: mac(1) }),
      anEndpoint('loft-switch-2/vlan10', { address: A, mac: VRRP }),
    ],
    [],
  ],
  [
    'a moving address that is also the fixed one of another device',
    [
      anEndpoint('vault-1/A/float', { address: A, virtual: true }),
      anEndpoint('press-1/mgmt', { address: A }),
    ],
    [`stop ${A}`],
  ],
  [
    'different addresses',
    [anEndpoint('vault-1/A/mgmt', { address: A }), anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12' })],
    [],
  ],
  [
    'endpoints without an address (Fibre Channel, power)',
    [anEndpoint('vault-1/A/fc0', { media: 'fc' }), anEndpoint('vault-1/B/fc0', { media: 'fc' })],
    [],
  ],
])('address-duplicate: %s', (_case, endpoints, expected) => {
  expect(brief(found('address-duplicate', { endpoints }))).toEqual(expected);
});

test('address-duplicate names both rows and links both endpoints', () => {
  const [finding] = found('address-duplicate', {
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: A, at: row(3) }),
      anEndpoint('press-1/mgmt', { address: A, at: row(9) }),
    ],
  });
  expect(finding?.evidence).toEqual([
    'list.csv row 3: vault-1/A/mgmt 192.0.2.11',
    'list.csv row 9: press-1/mgmt 192.0.2.11',
  ]);
  expect(finding?.about).toEqual(['vault-1/A/mgmt', 'press-1/mgmt']);
  expect(finding?.message).toBe('192.0.2.11 is planned for 2 endpoints: vault-1/A/mgmt and press-1/mgmt.');
});
