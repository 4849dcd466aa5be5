import { expect, test } from 'vitest';
import { exchanges } from '../../src/compare/exchanges.js';
import type { EndpointSighting, FactResult, Matrix } from '../../src/matrix/matrix.js';
import { aDevice, anEndpoint, aPlan, aSighting, mac } from '../support/evidence.js';
import { aMatrix, seen } from '../support/matrix.js';

const IDS = ['vault-1/A/mgmt', 'vault-1/A/data0', 'vault-1/B/mgmt'];
const plan = aPlan({
  devices: [aDevice('vault-1')],
  endpoints: IDS.map((id, index) => anEndpoint(id, { address: `192.0.2.${11 + index}` })),
});

type Told = Pick<EndpointSighting['identity'], 'snmp' | 'redfish'>;

/** What A and B tell; `box` is the state of the planned device behind A. */
function run(a: Told, b: Told, box: FactResult['state'] = 'matches'): Matrix {
  return aMatrix(plan, (id) => ({
    verdict: 'matches',
    sightings: [
      seen('bench', aSighting('192.0.2.11', { by: mac(1), identity: id.startsWith('vault-1/A') ? a : b })),
    ],
    facts: [
      {
        ...{ fact: 'box', planned: '', measured: '', by: 'measured', vantage: 'bench', reason: '' },
        state: id.startsWith('vault-1/A') ? box : 'matches',
      },
    ],
  }));
}
const serials = (...all: string[]): Told => ({ snmp: { serials: all } });
const B = serials('EX-B');

test.each<[string, Matrix, Matrix, object[]]>([
  ['the same', run(serials('EX-1'), B), run(serials('EX-1'), B), []],
  [
    'another device',
    run(serials('EX-1'), B),
    run(serials('EX-2'), B),
    [
      {
        device: 'vault-1',
        controller: 'A',
        mark: 'serial number',
        extent: 'whole',
        before: ['EX-1'],
        now: ['EX-2'],
      },
    ],
  ],
  [
    // The plan names the serial number, so the record of the equipment leaves the other device out; here it is the news.
    'another device than planned',
    run(serials('EX-1'), B),
    run(serials('EX-2'), B, 'differs'),
    [{ controller: 'A', extent: 'whole', now: ['EX-2'] }],
  ],
  [
    'a part of it',
    run(serials('EX-1', 'PSU-1'), B),
    run(serials('EX-1', 'PSU-2'), B),
    [{ controller: 'A', extent: 'part', before: ['EX-1', 'PSU-1'], now: ['EX-1', 'PSU-2'] }],
  ],
  [
    'two that changed places',
    run(serials('EX-1'), B),
    run(B, serials('EX-1')),
    [
      { controller: 'A', extent: 'traded', from: 'vault-1/B' },
      { controller: 'B', extent: 'traded', from: 'vault-1/A' },
    ],
  ],
  ['only one of the runs knew it', run({}, B), run(serials('EX-2'), B), []],
  ['the order of serial numbers', run(serials('EX-1', 'EX-2'), B), run(serials('EX-2', 'EX-1'), B), []],
  [
    'no serial number, another UUID',
    run({ redfish: { uuid: 'u-1' } }, B),
    run({ redfish: { uuid: 'u-2' } }, B),
    [{ controller: 'A', mark: 'UUID', extent: 'whole', before: ['u-1'], now: ['u-2'] }],
  ],
])('%s', (_what, before, now, expected) => {
  expect(exchanges(before, now)).toMatchObject(expected);
  expect(exchanges(before, now)).toHaveLength(expected.length);
});
