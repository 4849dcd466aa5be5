import { expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import { anEndpoint } from '../support/evidence.js';
import { brief, found } from './support.js';

const ONE = '10:00:00:00:5e:00:53:01';
const OTHER = '10:00:00:00:5e:00:53:02';

const fc = (id: string, more: Partial<Endpoint>): Endpoint =>
  anEndpoint(id, { media: 'fc', role: 'data', address: undefined, network: 'fabric-a', ...more });

// Common practice, no source: each port has a port name of its own, a virtual port may be told under that of its carrier.
test.each<[string, Endpoint[], string[]]>([
  [
    'two devices',
    [fc('vault-1/A/fc0', { wwpn: ONE }), fc('press-1/h0', { wwpn: ONE, role: 'host' })],
    [`fix ${ONE}`],
  ],
  [
    'two ports of one controller: unlike a MAC, no link shares one',
    [fc('vault-1/A/fc0', { wwpn: ONE }), fc('vault-1/A/fc1', { wwpn: ONE })],
    [`fix ${ONE}`],
  ],
  ['two names', [fc('vault-1/A/fc0', { wwpn: ONE }), fc('vault-1/A/fc1', { wwpn: OTHER })], []],
  ['none given', [fc('vault-1/A/fc0', {}), fc('vault-1/A/fc1', {})], []],
  [
    'a virtual port on it',
    [fc('vault-1/A/fc0', { wwpn: ONE }), fc('vault-1/A/v0', { wwpn: ONE, virtual: true })],
    [],
  ],
])('wwpn-duplicate: %s', (_case, endpoints, expected) => {
  expect(brief(found('wwpn-duplicate', { endpoints }))).toEqual(expected);
});

test('all ports of one device: perhaps the name of the device was written down', () => {
  const endpoints = ['a', 'b', 'c'].map((port) => fc(`vault-1/${port}`, { wwpn: ONE }));
  const [finding] = found('wwpn-duplicate', { endpoints });
  expect(finding?.message).toBe(
    `${ONE} stands for 3 ports of one device: vault-1/a, vault-1/b and vault-1/c.`,
  );
  expect(finding?.advice).toContain('node name');
  expect(finding?.about).toEqual(endpoints.map(({ id }) => id));
});
