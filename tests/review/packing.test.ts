/** What a plan says of the visit. Counts are those of the plans here; that devices of two units are lifted by two is common practice, no source. */
import { expect, test } from 'vitest';
import { visitList } from '../../src/review/packing.js';
import { aDevice, aNetwork, anEndpoint, aPlan } from '../support/evidence.js';

const plan = aPlan({
  networks: [aNetwork('mgmt', '192.0.2.0/24', { vlan: 10 }), aNetwork('fabric-1')],
  devices: [
    aDevice('vault-1', { rack: 'R3', units: { from: 11, to: 13 }, feeds: ['A', 'B'] }),
    aDevice('press-1', { rack: 'R3', units: { from: 2, to: 2 }, feeds: ['A'] }),
    aDevice('core-1', { existing: true, rack: 'R3', units: { from: 40, to: 40 }, feeds: ['A'] }),
  ],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', {
      address: '192.0.2.11',
      media: 'copper',
      speedMbps: 1000,
      switch: 'core-1',
      switchPort: '7',
    }),
    anEndpoint('vault-1/B/mgmt', { network: 'mgmt', media: 'copper', speedMbps: 1000 }),
    anEndpoint('vault-1/A/fc0', { role: 'data', network: 'fabric-1', media: 'fc', speedMbps: 16_000 }),
    anEndpoint('press-1/bond', {
      role: 'host',
      address: '192.0.2.31',
      media: 'fibre',
      switchPorts: [
        { switch: 'core-1', port: '10' },
        { switch: 'core-1', port: '9' },
      ],
    }),
    anEndpoint('core-1/mgmt', { role: 'switch', address: '192.0.2.2', media: 'copper' }),
  ],
  observe: [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }],
});
const { free, bring } = visitList(plan);
const told = (items: typeof free): Record<string, string> =>
  Object.fromEntries(items.map(({ what, text }) => [what, text]));

test('what the site must have ready: addresses, rack units, ports of switches that stand there, outlets', () => {
  expect(told(free)).toEqual({
    Addresses: '3 addresses in mgmt (192.0.2.0/24), and one for the laptop',
    'Addresses to ask for': 'vault-1/B/mgmt has none yet',
    'Rack R3': '4 units: 2 and 11-13',
    'Switch core-1': '3 free ports: 7, 9 and 10',
    'Feed A': '2 outlets, with its load agreed',
    'Feed B': '1 outlet, with its load agreed',
  });
});

test('what to bring: a cable for each member of an aggregated link, nothing for what stands there already', () => {
  expect(told(bring)).toMatchObject({
    'Copper cables': '2 for 1G',
    'Fibre cables': '2 without a planned speed',
    'Fibre Channel cables': '1 for 16G',
    Transceivers: 'up to 6, one at each end, where ports come without',
    'Power cords': '3, one for each feed of each device',
    Laptop: 'with a cable into mgmt (VLAN 10)',
    People: 'two to lift vault-1',
    Eyes: '1 thing to look at and record with attest',
  });
});

test('a plan that says nothing of them asks for nothing', () => {
  expect(visitList(aPlan({ endpoints: [] }))).toEqual({ free: [], bring: [] });
});

test('cables of different speeds are counted together and apart; a medium that nobody planned is said', () => {
  const ports = [10_000, 10_000, 1000, undefined].map((speedMbps, index) =>
    anEndpoint(`vault-1/p${index}`, speedMbps === undefined ? {} : { media: 'copper', speedMbps }),
  );
  expect(told(visitList(aPlan({ endpoints: ports })).bring)).toMatchObject({
    'Copper cables': '3: 2 for 10G and 1 for 1G',
    'Other cables': '1, medium not planned: 1 without a planned speed',
  });
});
