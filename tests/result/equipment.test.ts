/** The equipment record: rows of a device or controller, from what answered. */
import { expect, test } from 'vitest';
import { equipmentOf } from '../../src/result/equipment.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, anEndpoint, anEvidence, aPlan, aSighting, mac, UNCLAIMED } from '../support/evidence.js';

test('one row a controller, with what it said of itself; what is missing has neither MAC nor address', () => {
  const plan = aPlan({
    devices: [aDevice('vault-1', { rack: 'R3', units: { from: 11, to: 13 } })],
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https' }),
      anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https' }),
    ],
  });
  const sightings = [
    aSighting('192.0.2.11', {
      answers: 'https',
      by: mac(1),
      identity: { snmp: { serials: ['SN-1'], software: '4.2' } },
    }),
    aSighting('192.0.2.12', { presence: UNCLAIMED }),
  ];
  const { endpoints } = judge(plan, [anEvidence({ sightings })], { review: [] });
  expect(equipmentOf(plan, endpoints)).toEqual([
    {
      device: 'vault-1',
      controller: 'A',
      rack: 'R3',
      units: '11-13',
      serials: ['SN-1'],
      software: '4.2',
      macs: [mac(1)],
      addresses: ['192.0.2.11'],
    },
    {
      device: 'vault-1',
      controller: 'B',
      rack: 'R3',
      units: '11-13',
      serials: [],
      software: '',
      macs: [],
      addresses: [],
    },
  ]);
});
