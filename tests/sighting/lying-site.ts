/** A site whose devices all say as much as their readers let through, in everything that is kept of them (issue 13.4). */
import { jsonChunks } from '../../src/files/json-chunks.js';
import { buildMatrix } from '../../src/result/build.js';
import { createCeilings } from '../../src/sighting/ceilings.js';
import type {
  AddressSighting,
  DeviceLinks,
  Evidence,
  PowerSupplies,
  SwitchTables,
} from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';

const LONG = 'x'.repeat(223);
export const targets = (count: number, portals = 1) =>
  Array.from({ length: count }, (_, index) => ({
    name: `iqn.2030-01.example:${index}-${LONG}`.slice(0, 223),
    portals: Array.from({ length: portals }, (_unused, port) => ({
      address: `198.51.100.${port % 250}`,
      port: 3260 + port,
    })),
  }));

/** As much as its readers let through (src/wire/iscsi/targets.ts: 256 targets, 1,024 portals). */
export function lying(address: string): AddressSighting {
  return aSighting(address, {
    answers: 'https iscsi-target',
    identity: {
      http: { port: 80, status: 200, title: LONG, server: LONG, location: LONG },
      ssh: { line: LONG, port: 22 },
      snmp: {
        sysName: LONG,
        sysDescr: LONG,
        sysLocation: LONG,
        sysContact: LONG,
        serials: Array.from({ length: 16 }, () => LONG),
      },
      changed: Array.from({ length: 5 }, (_, n) => ({ what: `fact ${n}`, first: LONG, later: `${LONG}.` })),
    },
    iscsi: {
      outcome: 'listed',
      targets: targets(256, 4),
      unreadable: Array.from({ length: 32 }, () => LONG),
    },
  });
}

export const links = (device: string, count: number): DeviceLinks => ({
  device,
  askedAt: '192.0.2.1',
  links: Array.from({ length: count }, (_, ifIndex) => ({
    ifIndex,
    ifName: LONG,
    ifDescr: LONG,
    addresses: [],
  })),
});

const tables = (name: string): SwitchTables => ({
  switch: name,
  askedAt: '192.0.2.1',
  ports: Array.from({ length: 2048 }, (_, ifIndex) => ({ ifIndex, name: LONG, descr: LONG, alias: LONG })),
  forwarding: Array.from({ length: 8192 }, (_, n) => ({
    mac: mac(n % 250),
    ifIndex: n,
    status: 'learned' as const,
  })),
  neighbours: Array.from({ length: 1024 }, () => ({
    localPort: LONG,
    chassisId: LONG,
    chassisIdSubtype: 'local',
    portId: LONG,
    portIdSubtype: 'local',
    sysName: LONG,
    sysDescription: LONG,
    managementAddresses: [],
  })),
  ownMacs: [],
});

const power = (device: string): PowerSupplies => ({
  device,
  askedAt: '192.0.2.1',
  supplies: Array.from({ length: 256 }, () => ({ name: LONG, state: 'not-working' as const })),
});

/** The result of so many endpoints, four a device, every eighth device a switch: the parts in which it is written. `Evidence` as a run keeps it. */
export function lyingResult(endpoints: number): {
  readonly chunks: Iterable<string>;
  readonly evidence: Evidence;
} {
  const numbers = Array.from({ length: endpoints }, (_, n) => n);
  const devices = numbers.filter((n) => n % 4 === 0).map((n) => `device-${n >> 2}`);
  const address = (n: number) => `10.0.${n >> 8}.${n & 255}`;
  const plan = aPlan({
    networks: [aNetwork('hall', '10.0.0.0/16')],
    devices: devices.map((name) => aDevice(name)),
    endpoints: numbers.map((n) =>
      anEndpoint(`device-${n >> 2}/${n & 1 ? 'B' : 'A'}/p${n & 3}`, {
        network: 'hall',
        address: address(n),
        role: (n >> 2) % 8 === 0 ? 'switch' : 'data',
        services: 'https iscsi-target',
        group: `device-${n >> 2} data`,
      }),
    ),
  });
  const ceilings = createCeilings();
  const evidence = anEvidence({
    sightings: numbers.map((n) => ceilings.changed(ceilings.presence(ceilings.sighting(lying(address(n)))))),
    links: devices.map((name) => ceilings.links(links(name, 2048))),
    switches: devices.filter((_, n) => n % 8 === 0).map((name) => ceilings.switchTables(tables(name))),
    power: devices.map((name) => ceilings.power(power(name))),
  });
  const matrix = buildMatrix({
    run: { id: 'x', version: '0' },
    plan,
    evidence: [evidence],
    judgement: judge(plan, [evidence], { review: [] }),
  });
  return { chunks: jsonChunks(matrix), evidence };
}

/** Octets in all, and of the largest part. */
export function measured(chunks: Iterable<string>): { readonly bytes: number; readonly largest: number } {
  let bytes = 0;
  let largest = 0;
  for (const chunk of chunks) {
    const length = Buffer.byteLength(chunk);
    bytes += length;
    largest = Math.max(largest, length);
  }
  return { bytes, largest };
}
