import { expect, test } from 'vitest';
import { askAddress, lookAgain } from '../../src/run/ask.js';
import { createDeviceShares } from '../../src/run/device-share.js';
import { createPacer, DEFAULT_PACE } from '../../src/run/pace.js';
import { DEFAULT_PATIENCES } from '../../src/run/patience.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import { createLossCounter } from '../../src/run/silence.js';
import { claimed, mac, planned } from '../support/evidence.js';

/** An agent whose name is another at each question; everything else accepts and proves itself. */
function probes(names: string[], proved: string[]): ProbeSet {
  const never = () => Promise.reject(new Error('not in this test'));
  return {
    icmp: () => Promise.resolve({ outcome: 'replied', rttMs: 1, sent: 1, received: 1 }),
    tcp: ({ service: { name, port } }) => Promise.resolve({ service: name, port, outcome: 'accepted' }),
    prove: ({ service: { name, port, protocol } }) => {
      proved.push(name);
      return Promise.resolve({ proof: { service: name, port, protocol, outcome: 'proven' } });
    },
    snmp: ({ service: { name, port, protocol } }) =>
      Promise.resolve({
        sighting: { outcome: 'replied', version: '2c', credential: 'site-ro' },
        proof: { service: name, port, protocol, outcome: 'proven' },
        identity: { sysName: names.shift() ?? 'asked too often' },
      }),
    iscsi: never,
    redfish: never,
    mtu: never,
    links: never,
    switchTables: never,
    fabricTables: never,
    powerSupplies: never,
    resolveCredential: never,
  };
}

async function ask(services: string, twice: boolean) {
  const { signal } = new AbortController();
  const clock = { now: () => performance.now(), date: () => new Date(0) };
  const names = ['vault-1-a', 'vault-2-a'];
  const proved: string[] = [];
  const question = {
    address: '192.0.2.11',
    kind: 'planned',
    device: 'vault-1',
    endpoints: [],
    services: planned(services),
  } as const;
  const context = {
    probes: probes(names, proved),
    pacer: createPacer(DEFAULT_PACE, clock, () => Promise.resolve(), signal),
    patiences: DEFAULT_PATIENCES,
    losses: createLossCounter(),
    shares: createDeviceShares(),
    signal,
  };
  const once = await askAddress(question, { reach: 'on-link', own: false }, claimed([mac(1)]), context);
  const sighting = twice ? await lookAgain(question, once, context) : once;
  return { sighting, asked: 2 - names.length, proved };
}

test.each(['snmp', 'udp/161', 'snmp udp/161'])(
  'SNMP planned as %s is one question with its credential, and proves each name of it',
  async (services) => {
    const { sighting, asked, proved } = await ask(`${services} ssh`, false);
    expect(asked).toBe(1);
    expect(proved).toEqual(['ssh']);
    expect(sighting.proofs.map(({ service, outcome }) => [service, outcome])).toEqual(
      [...services.split(' '), 'ssh'].map((name) => [name, 'proven']),
    );
  },
);

test('the second look asks with the credential too, and sees another name', async () => {
  const { sighting, asked } = await ask('snmp ssh', true);
  expect(asked).toBe(2);
  expect(sighting.identity.snmp?.sysName).toBe('vault-1-a');
  expect(sighting.identity.changed).toEqual([{ what: 'sysName', first: 'vault-1-a', later: 'vault-2-a' }]);
});
