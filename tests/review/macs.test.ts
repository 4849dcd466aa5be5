import { expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import { anEndpoint, mac } from '../support/evidence.js';
import { brief, found } from './support.js';

// Group bit: RFC 9542 §2.1.1; documentation addresses unicast and multicast: §2.1.4; IPv4 multicast: §2.1.3.
test.each<[string, boolean]>([
  ['00:00:5e:00:53:01', false],
  ['01:00:5e:90:10:01', true],
  ['01:00:5e:00:00:01', true],
  ['ff:ff:ff:ff:ff:ff', true],
  ['02:00:00:00:00:01', false],
  ['03:00:00:00:00:01', true],
  ['00:00:00:00:00:00', true],
])('mac-invalid: %s: %s', (address, invalid) => {
  const endpoints = [anEndpoint('vault-1/A/mgmt', { mac: address })];
  expect(brief(found('mac-invalid', { endpoints }))).toEqual(invalid ? ['fix vault-1/A/mgmt'] : []);
});

// Common practice, no source: which rows may share a MAC.
test.each<[string, Endpoint[], string[]]>([
  [
    'two devices',
    [anEndpoint('vault-1/mgmt', { mac: mac(1) }), anEndpoint('press-1/mgmt', { mac: mac(1) })],
    [`fix ${mac(1)}`],
  ],
  [
    'two controllers of one device',
    [anEndpoint('vault-1/A/mgmt', { mac: mac(1) }), anEndpoint('vault-1/B/mgmt', { mac: mac(1) })],
    [`fix ${mac(1)}`],
  ],
  [
    'two addresses of one port',
    [anEndpoint('vault-1/A/data0', { mac: mac(1) }), anEndpoint('vault-1/A/data0-v6', { mac: mac(1) })],
    [],
  ],
  [
    'two cables of one controller: perhaps an aggregated link',
    [
      anEndpoint('vault-1/A/data0', { mac: mac(1), switch: 'loft-1', switchPort: '1' }),
      anEndpoint('vault-1/A/data1', { mac: mac(1), switch: 'loft-1', switchPort: '2' }),
    ],
    [`note ${mac(1)}`],
  ],
  [
    'the MAC of a virtual router at both routers (RFC 9568 §7.3)',
    [
      anEndpoint('loft-1/vlan10', { mac: '00:00:5e:00:01:0a' }),
      anEndpoint('loft-2/vlan10', { mac: '00:00:5e:00:01:0a' }),
    ],
    [],
  ],
  [
    'placeholders are mac-invalid, not duplicates',
    [anEndpoint('a/p', { mac: '00:00:00:00:00:00' }), anEndpoint('b/p', { mac: '00:00:00:00:00:00' })],
    [],
  ],
])('mac-duplicate: %s', (_case, endpoints, expected) => {
  expect(brief(found('mac-duplicate', { endpoints }))).toEqual(expected);
});
