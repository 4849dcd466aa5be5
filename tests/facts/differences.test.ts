/** DESIGN 7: `"differences": [{ "field": "", "planned": "", "measured": "", "evidence": "" }]`, fields in the plan's own words. */

import { expect, it } from 'vitest';
import { differencesOf } from '../../src/facts/differences.js';
import { differing } from '../../src/facts/fact.js';
import type { Difference } from '../../src/matrix/matrix.js';
import type { AddressSighting } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aDevice,
  anEndpoint,
  anEvidence,
  aPlan,
  aProof,
  aSighting,
  aTcp,
  claimed,
  mac,
  notRun,
  T0,
} from '../support/evidence.js';

const A = '192.0.2.11';

function differencesAt(
  sighting: AddressSighting,
  endpoint: Parameters<typeof anEndpoint>[1] = {},
): readonly Omit<Difference, 'evidence'>[] {
  const plan = aPlan({
    devices: [aDevice('vault-1', { identity: { sysName: 'vault-1*' } })],
    endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, ...endpoint })],
  });
  const [found] = judge(plan, [anEvidence({ sightings: [sighting] })], { review: [] }).endpoints;
  return (found?.differences ?? []).map(({ field, planned, measured }) => ({ field, planned, measured }));
}

it.each<[string, AddressSighting, Parameters<typeof anEndpoint>[1], readonly Omit<Difference, 'evidence'>[]]>(
  [
    [
      'a service that refuses',
      aSighting(A, { tcp: [aTcp('ssh', 'refused')], proofs: [aProof('ssh', 'refused')] }),
      { services: 'ssh' },
      [{ field: 'services', planned: 'ssh on tcp port 22', measured: 'refused' }],
    ],
    [
      'the MAC of another device',
      aSighting(A, { answers: 'https', presence: claimed([mac(0x77)]) }),
      { services: 'https', mac: mac(0x11) },
      [{ field: 'mac', planned: mac(0x11), measured: mac(0x77) }],
    ],
    [
      'the name of another device',
      aSighting(A, { answers: 'https', identity: { snmp: { sysName: 'press-9' } } }),
      { services: 'https' },
      [{ field: 'sysName', planned: 'vault-1*', measured: 'press-9' }],
    ],
    [
      'no echo where nothing else is planned',
      aSighting(A, { echo: false, presence: claimed([mac(0x11)]) }),
      { services: '' },
      [{ field: 'echo', planned: 'replied', measured: 'no-reply' }],
    ],
    ['nothing: as planned', aSighting(A, { answers: 'https' }), { services: 'https' }, []],
    [
      'nothing: an echo that could not be asked is no difference',
      aSighting(A, { answers: 'https', icmp: notRun('no ping program') }),
      { services: 'https' },
      [],
    ],
  ],
)('%s', (_, sighting, endpoint, expected) => {
  expect(
    differencesAt(sighting, endpoint).map((one) => ({ ...one, measured: one.measured.replace(/ \(.*/, '') })),
  ).toEqual(expected);
});

it('calls a device a device, also where the fact is about the box as a whole', () => {
  const fact = differing(
    { fact: 'box', planned: 'sysName vault-1*' },
    'answered-by-partner',
    'the same device',
    {
      measured: 'the device of vault-1/A/mgmt',
      evidence: [{ who: 'bench', at: T0, text: 'one MAC' }],
    },
  );
  expect(differencesOf([fact])).toEqual([
    {
      field: 'device',
      planned: 'sysName vault-1*',
      measured: 'the device of vault-1/A/mgmt',
      evidence: `bench, ${T0}: one MAC`,
    },
  ]);
});
