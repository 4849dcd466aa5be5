import { expect, test } from 'vitest';
import { standpointFinder } from '../../src/run/standpoint.js';
import { aNetwork, anEndpoint, aPlan, aVantage, mac } from '../support/evidence.js';

const plan = aPlan({
  networks: [aNetwork('mgmt', '192.0.2.0/24'), aNetwork('data-a', '198.51.100.0/25')],
  endpoints: [anEndpoint('vault-1/A/data0', { address: '198.51.100.11' })],
});
const eth0 = { name: 'eth0', mac: mac(1), addresses: ['192.0.2.5/24'], up: true };
const eth1 = { name: 'eth1', mac: mac(2), addresses: ['198.51.100.5/25'], up: false };

test('a network that the laptop has no address in comes with the commands that add one and take it away', () => {
  const at = standpointFinder('linux', aVantage({ interfaces: [eth0] }), plan)('198.51.100.11');
  expect(at).toMatchObject({ reach: 'no-route', own: false });
  expect(at.reachReason).toContain('this laptop has no address in data-a (198.51.100.0/25)');
  expect(at.mend?.add).toBe('sudo ip address add 198.51.100.126/25 dev eth0');
  expect(at.mend?.remove).toBe('sudo ip address del 198.51.100.126/25 dev eth0');
});

test('a port with such an address and no link wants its cable, not another address', () => {
  const at = standpointFinder('linux', aVantage({ interfaces: [eth0, eth1] }), plan)('198.51.100.11');
  expect(at.reachReason).toMatch(/^data-a: interface eth1 .*is its cable in\?$/);
  expect(at.mend).toBeUndefined();
});
