import { expect, test } from 'vitest';
import { iscsiProof } from '../../src/probe/iscsi.js';
import { askAddress } from '../../src/run/ask.js';
import { createDeviceShares } from '../../src/run/device-share.js';
import { createPacer, DEFAULT_PACE } from '../../src/run/pace.js';
import { DEFAULT_PATIENCES } from '../../src/run/patience.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import type { Question } from '../../src/run/questions.js';
import { createLossCounter } from '../../src/run/silence.js';
import type { IscsiSighting } from '../../src/sighting/types.js';
import { claimed, mac, notRun, planned } from '../support/evidence.js';

const question: Question = {
  address: '192.0.2.11',
  kind: 'planned',
  device: 'vault-1',
  endpoints: [],
  services: planned('iscsi-target ssh'),
};

/** Everything accepts and proves itself; iSCSI answers as told. */
function probes(iscsi: IscsiSighting): ProbeSet {
  const never = () => Promise.reject(new Error('not in this test'));
  return {
    icmp: () => Promise.resolve({ outcome: 'replied', rttMs: 1, sent: 1, received: 1 }),
    tcp: ({ service: { name, port } }) => Promise.resolve({ service: name, port, outcome: 'accepted' }),
    prove: ({ service }) => {
      const { name, port, protocol } = service;
      if (name.startsWith('iscsi')) return Promise.resolve({ proof: iscsiProof(iscsi, service), iscsi });
      return Promise.resolve({ proof: { service: name, port, protocol, outcome: 'proven' } });
    },
    iscsi: never,
    snmp: never,
    redfish: never,
    mtu: never,
    links: never,
    switchTables: never,
    fabricTables: never,
    powerSupplies: never,
    resolveCredential: never,
  };
}

// RFC 7143 §4.3: what a discovery session comes to, and what that says of the service.
test.each<[string, IscsiSighting, string]>([
  ['a list proves it', { outcome: 'listed', targets: [] }, 'proven'],
  ['a demand for authentication proves it too', { outcome: 'authentication-required' }, 'proven'],
  ['silence after the connection does not', { outcome: 'half-open' }, 'silent'],
  ['another protocol is not it', { outcome: 'not-iscsi' }, 'other-protocol'],
  ['where it was not asked, an open port is no proof', notRun('interrupted'), 'not-run'],
])('iSCSI: %s', async (_reason, iscsi, outcome) => {
  const { signal } = new AbortController();
  const clock = { now: () => performance.now(), date: () => new Date(0) };
  const sighting = await askAddress(question, { reach: 'on-link', own: false }, claimed([mac(1)]), {
    probes: probes(iscsi),
    pacer: createPacer(DEFAULT_PACE, clock, () => Promise.resolve(), signal),
    patiences: DEFAULT_PATIENCES,
    losses: createLossCounter(),
    shares: createDeviceShares(),
    signal,
    credential: undefined,
  });
  expect(sighting.proofs.map((proof) => [proof.service, proof.outcome])).toEqual([
    ['iscsi-target', outcome],
    ['ssh', 'proven'],
  ]);
});
