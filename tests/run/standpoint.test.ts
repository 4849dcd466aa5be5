import { expect, test } from 'vitest';
import { standpointFinder, withSwitchWord } from '../../src/run/standpoint.js';
import type { LldpNeighbour } from '../../src/sighting/types.js';
import { aNetwork, anEndpoint, aPlan, aSighting, aVantage, mac } from '../support/evidence.js';

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

test('a laptop whose prefix takes in more than the planned network is told what to set, and still asks on its link', () => {
  const wide = { ...eth0, addresses: ['198.51.0.5/16'] };
  const at = standpointFinder('linux', aVantage({ interfaces: [wide] }), plan)('198.51.100.11');
  expect(at).toMatchObject({ reach: 'on-link', interface: 'eth0' });
  expect(at.reachReason).toContain('198.51.0.5/16, which takes in more than data-a (198.51.100.0/25)');
  expect(at.mend?.add).toContain('198.51.100.126/25');
});

function aNeighbour(localPort: string): LldpNeighbour {
  return {
    localPort,
    chassisId: mac(0xaa),
    chassisIdSubtype: '',
    portId: '7',
    portIdSubtype: '',
    managementAddresses: [],
  };
}

test('the switch has the last word: in another VLAN a second address does not help', () => {
  const tagged = aPlan({
    networks: [{ ...aNetwork('data-a', '198.51.100.0/25'), vlan: 21 }],
    endpoints: plan.endpoints,
  });
  const vantage = aVantage({ interfaces: [eth0] });
  const at = standpointFinder('linux', vantage, tagged)('198.51.100.11');
  expect(at.reachReason).toContain('only where eth0 is in VLAN 21');
  const { mend, reachReason, reach } = at;
  const sighting = {
    ...aSighting('198.51.100.11'),
    reach,
    reachReason,
    ...(mend === undefined ? {} : { mend }),
  };
  const told = (vlan: number) => [{ ...aNeighbour('eth0'), vlan }];
  const misplaced = withSwitchWord(sighting, tagged, vantage, told(10));
  expect(misplaced.mend).toBeUndefined();
  expect(misplaced.reachReason).toMatch(/does not help.*VLAN 10.*VLAN 21/);
  expect(withSwitchWord(sighting, tagged, vantage, told(21))).toBe(sighting);
  expect(withSwitchWord(sighting, tagged, vantage, [])).toBe(sighting);
});

test('a link-local gateway is asked by the port of its network; a link-local endpoint whose port nobody knows is not', () => {
  const six = aPlan({
    networks: [{ ...aNetwork('data-a', '2001:db8:0:20::/64'), gateway: 'fe80::1' }],
    endpoints: [anEndpoint('vault-1/A/mgmt', { address: 'fe80::77' })],
  });
  const interfaces = [
    { ...eth0, addresses: ['192.0.2.5/24', 'fe80::5/64'] },
    { ...eth1, up: true, addresses: ['2001:db8:0:20::5/64', 'fe80::6/64'] },
  ];
  const find = standpointFinder('linux', aVantage({ interfaces }), six);
  expect(find('fe80::1')).toMatchObject({ reach: 'on-link', interface: 'eth1' });
  const unknown = find('fe80::77');
  expect(unknown).toMatchObject({ reach: 'no-route', reachCause: 'port-unknown' });
  expect(unknown.mend).toBeUndefined();
});
