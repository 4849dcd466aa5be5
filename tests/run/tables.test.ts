import { expect, it } from 'vitest';
import { Secret } from '../../src/plan/secret.js';
import { createDeviceShares } from '../../src/run/device-share.js';
import type { Pacer } from '../../src/run/pace.js';
import type { Patiences } from '../../src/run/patience.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import { startTables } from '../../src/run/tables.js';
import { createCeilings } from '../../src/sighting/ceilings.js';
import type { AddressSighting, FabricTables } from '../../src/sighting/types.js';
import { aDevice, anEndpoint, aPlan, aSighting } from '../support/evidence.js';

const agent = (id: string, address: string, more = {}) =>
  anEndpoint(id, { address, role: 'management', snmp: 'ro', ...more });
const ENDPOINTS = [
  agent('vault-1/A/mgmt', '192.0.2.11'),
  agent('vault-1/B/mgmt', '192.0.2.12'),
  agent('loft-1/mgmt', '192.0.2.21', { role: 'switch' }),
  agent('fabric-1/mgmt', '192.0.2.22', { role: 'switch' }),
  agent('press-1/bmc', '192.0.2.31'),
];
const FIBRE = anEndpoint('vault-1/A/fc0', {
  media: 'fc',
  switch: 'fabric-1',
  switchPorts: [{ switch: 'fabric-1', port: '0/1' }],
});

/** Reads with probes that note whom they were asked about; the fabric of `fabric-1` alone has anything. */
async function asked(
  endpoints: readonly ReturnType<typeof anEndpoint>[],
  signal = new AbortController().signal,
) {
  const log: string[] = [];
  const fabric = (name: string): FabricTables => ({
    switch: name,
    askedAt: '192.0.2.22',
    ports: name === 'fabric-1' ? [{ port: '0/1' }] : [],
    logins: [],
  });
  const unused = (): Promise<never> => Promise.reject(new Error('not asked here'));
  const probes = {
    icmp: unused,
    tcp: unused,
    prove: unused,
    snmp: unused,
    redfish: unused,
    iscsi: unused,
    mtu: unused,
    links: async ({ device, controller, address }) => {
      log.push(`links ${device}/${controller ?? ''}`);
      return { device, askedAt: address, links: [] };
    },
    switchTables: async ({ switch: name, address }) => {
      log.push(`switch ${name}`);
      return { switch: name, askedAt: address, ports: [], forwarding: [], neighbours: [], ownMacs: [] };
    },
    fabricTables: async ({ switch: name }) => {
      log.push(`fabric ${name}`);
      return fabric(name);
    },
    powerSupplies: async ({ device, address }) => {
      log.push(`power ${device}`);
      return { device, askedAt: address, supplies: [] };
    },
    resolveCredential: unused,
  } satisfies ProbeSet;
  const sightings = new Map<string, AddressSighting>(
    endpoints.flatMap(({ address, device }) =>
      address === undefined || device === 'press-1'
        ? []
        : [[address, aSighting(address, { snmp: { outcome: 'replied', version: '2c', credential: 'ro' } })]],
    ),
  );
  const pacer: Pacer = {
    run: (_device, _frames, work) => work(() => {}),
    request: async () => {},
    take: (wanted) => wanted,
    charge: () => {},
  };
  const patience = { timeoutMs: 1, attempts: 1 };
  const plan = aPlan({
    endpoints,
    devices: [aDevice('vault-1', { feeds: ['A', 'B'] }), aDevice('press-1', { feeds: ['A'] })],
  });
  const reading = startTables(plan, {
    probes,
    pacer,
    patiences: { snmpTable: patience } as Patiences,
    credentials: new Map([['ro', { name: 'ro', version: '2c', port: 161, community: new Secret('x') }]]),
    shares: createDeviceShares(),
    signal,
    ceilings: createCeilings(),
  });
  for (const endpoint of endpoints) {
    const sighting = sightings.get(endpoint.address ?? '');
    if (sighting !== undefined)
      reading.agent({ endpoints: [endpoint], address: sighting.address }, sighting.snmp);
  }
  const tables = await reading.ended();
  return { log: log.sort(), tables };
}

it('asks each controller for its links, each switch for its tables, each device with feeds for its supplies, once', async () => {
  const { log } = await asked(ENDPOINTS);
  expect(log).toEqual([
    'links fabric-1/',
    'links loft-1/',
    'links vault-1/A',
    'links vault-1/B',
    'power vault-1',
    'switch fabric-1',
    'switch loft-1',
  ]);
});

it('asks every switch for its fabric where the plan has Fibre Channel, and keeps those that have one', async () => {
  const { log, tables } = await asked([...ENDPOINTS, FIBRE]);
  expect(log.filter((line) => line.startsWith('fabric '))).toEqual(['fabric fabric-1', 'fabric loft-1']);
  expect(tables.fabrics.map(({ switch: name }) => name)).toEqual(['fabric-1']);
  expect(tables.power).toEqual([]);
});
