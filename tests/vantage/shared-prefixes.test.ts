import { expect, it } from 'vitest';
import type { VantageInterface, VantageRoute } from '../../src/sighting/types.js';
import { sharedPrefixes } from '../../src/vantage/shared-prefixes.js';
import { aVantage, mac } from '../support/evidence.js';

const port = (name: string, address: string, more: Partial<VantageInterface> = {}): VantageInterface => ({
  name,
  mac: mac(name.length),
  addresses: [address, 'fe80::5/64', '169.254.1.5/16'],
  up: true,
  ...more,
});
const shared = (interfaces: readonly VantageInterface[], routes: readonly VantageRoute[] = []) =>
  sharedPrefixes(aVantage({ interfaces, routes }));

it('lists wire and radio in one network, and the port that the system asks by', () => {
  const ports = [
    port('wlan0', '192.0.2.6/24', { wireless: true }),
    port('eth0', '192.0.2.5/24', { wireless: false }),
  ];
  const routes = [
    { destination: '192.0.2.0/24', interface: 'eth0' },
    { destination: '192.0.2.0/24', interface: 'wlan0' },
  ];
  expect(shared(ports, routes)).toEqual([
    {
      ports: [
        { name: 'wlan0', address: '192.0.2.6/24', wireless: true },
        { name: 'eth0', address: '192.0.2.5/24', wireless: false },
      ],
      used: 'eth0',
    },
  ]);
});

it('lists a prefix that lies within another, the narrower first', () => {
  const [one] = shared([port('eth0', '192.0.2.5/16'), port('eth1', '192.0.2.200/25')]);
  expect(one?.ports.map(({ name }) => name)).toEqual(['eth1', 'eth0']);
  expect(one?.used).toBe('eth1');
});

it('lists nothing for networks apart, for ports without link, and for link-local addresses', () => {
  expect(shared([port('eth0', '192.0.2.5/24'), port('eth1', '198.51.100.5/24')])).toEqual([]);
  expect(shared([port('eth0', '192.0.2.5/24'), port('eth1', '192.0.2.6/24', { up: false })])).toEqual([]);
});
