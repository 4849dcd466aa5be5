import { afterEach, describe, expect, it } from 'vitest';
import { INTERFACE_LIMIT } from '../../src/snmp/if-mib.js';
import { readSwitchTables } from '../../src/snmp/switch-tables.js';
import { type Agent, type Misbehaviour, type Objects, scriptedAgent, type Value } from './scripted-agent.js';
import { community, HAS_SNMPWALK, snmpwalk } from './support.js';

const agents: Agent[] = [];
afterEach(async () => {
  for (const agent of agents.splice(0)) await agent.close();
});

async function read(objects: Objects, misbehaviour?: Misbehaviour, version: '1' | '2c' = '2c') {
  const agent = await scriptedAgent(objects, misbehaviour);
  agents.push(agent);
  const target = { address: '127.0.0.1', credential: community(agent.port, version), switch: 'loft-switch' };
  const tables = await readSwitchTables(
    target,
    { timeoutMs: 300, attempts: 2 },
    new AbortController().signal,
  );
  return { tables, agent };
}

const IF = '1.3.6.1.2.1.2.2.1';
const IFX = '1.3.6.1.2.1.31.1.1.1';
/** RFC 4188 and RFC 4363. */
const BRIDGE = '1.3.6.1.2.1.17';
const FDB = `${BRIDGE}.4.3.1`;
const Q_FDB = `${BRIDGE}.7.1.2.2.1`;
const Q_VLAN_FDB = `${BRIDGE}.7.1.4.2.1.3`;
/** LLDP-MIB (2005). */
const LLDP = '1.0.8802.1.1.2.1';

/** Bridge ports 1, 2, 3 are interfaces 10101, 10102, 10103; 10200 bundles the last two. */
const PORTS: Objects = [
  ...[10101, 10102, 10103, 10200].flatMap(
    (ifIndex): Objects => [
      [`${IF}.2.${ifIndex}`, { text: `Slot 1 port ${ifIndex - 10100}` }],
      [`${IF}.3.${ifIndex}`, { int: ifIndex === 10200 ? 161 : 6 }],
      [`${IF}.6.${ifIndex}`, { hex: `00:00:5e:00:53:${(ifIndex % 100) + 10}` }],
      [`${IF}.8.${ifIndex}`, { int: 1 }],
      [`${IFX}.1.${ifIndex}`, { text: `1/${ifIndex - 10100}` }],
      [`${IFX}.15.${ifIndex}`, { gauge: 10_000 }],
    ],
  ),
  [`${IFX}.18.10101`, { text: 'to vault-1 A' }],
  [`${BRIDGE}.1.1.0`, { hex: '00:00:5e:00:53:f0' }],
  [`${BRIDGE}.1.4.1.2.1`, { int: 10101 }],
  [`${BRIDGE}.1.4.1.2.2`, { int: 10102 }],
  [`${BRIDGE}.1.4.1.2.3`, { int: 10103 }],
];

/** standards.md part 6, worked there: MAC 00:00:5e:00:53:45 -> instance .0.0.94.0.83.69. */
const WORKED = '0.0.94.0.83.69';
const PLAIN: Objects = [
  [`${FDB}.2.${WORKED}`, { int: 2 }],
  [`${FDB}.3.${WORKED}`, { int: 3 }],
  // Port 0: known, but not on which port.
  [`${FDB}.2.0.0.94.0.83.70`, { int: 0 }],
  [`${FDB}.3.0.0.94.0.83.70`, { int: 3 }],
  // The switch itself.
  [`${FDB}.2.0.0.94.0.83.241`, { int: 1 }],
  [`${FDB}.3.0.0.94.0.83.241`, { int: 4 }],
];

describe('readSwitchTables', () => {
  it.each(['1', '2c'] as const)('maps bridge ports to interfaces, version %s', async (version) => {
    const { tables } = await read([...PORTS, ...PLAIN], undefined, version);
    expect(tables.truncated).toBeUndefined();
    expect(tables).toMatchObject({ switch: 'loft-switch', askedAt: '127.0.0.1' });
    expect(tables.forwarding).toEqual([
      { mac: '00:00:5e:00:53:45', ifIndex: 10102, status: 'learned' },
      { mac: '00:00:5e:00:53:f1', ifIndex: 10101, status: 'self' },
    ]);
    // RFC 4188 knows no VLANs: there may be more than this agent shows.
    expect(tables.allVlans).toBe(false);
    expect(tables.vlans).toBeUndefined();
    expect(tables.ports[0]).toEqual({
      bridgePort: 1,
      ifIndex: 10101,
      name: '1/1',
      descr: 'Slot 1 port 1',
      alias: 'to vault-1 A',
      ifType: 6,
      operStatus: 'up',
      speedMbps: 10_000,
    });
    expect([...tables.ownMacs].sort()).toEqual([
      '00:00:5e:00:53:10',
      '00:00:5e:00:53:11',
      '00:00:5e:00:53:12',
      '00:00:5e:00:53:13',
      '00:00:5e:00:53:f0',
      '00:00:5e:00:53:f1',
    ]);
  });

  // RFC 4363, dot1qVlanFdbId: the filtering database's id need not be the VLAN's.
  it('maps filtering databases to VLANs where each serves one, and says which database where not', async () => {
    const entry = (fdb: number, last: number): Objects => [
      [`${Q_FDB}.2.${fdb}.0.0.94.0.83.${last}`, { int: 1 }],
      [`${Q_FDB}.3.${fdb}.0.0.94.0.83.${last}`, { int: 3 }],
    ];
    const vlan = (id: number, fdb: number) => [`${Q_VLAN_FDB}.0.${id}`, { gauge: fdb }] as const;
    const { tables } = await read([
      ...PORTS,
      ...PLAIN,
      // standards.md part 6: fdbId 10, the same MAC -> …7.1.2.2.1.2.10.0.0.94.0.83.69.
      ...entry(10, 69),
      ...entry(7, 70),
      ...entry(8, 71),
      vlan(21, 10),
      vlan(31, 7),
      vlan(32, 7),
    ]);
    expect(tables.forwarding).toEqual([
      { mac: '00:00:5e:00:53:46', ifIndex: 10101, fdb: 7, status: 'learned' },
      { mac: '00:00:5e:00:53:47', ifIndex: 10101, fdb: 8, status: 'learned' },
      { mac: '00:00:5e:00:53:45', ifIndex: 10101, vlan: 21, status: 'learned' },
    ]);
    expect(tables).toMatchObject({ allVlans: true, vlans: [21, 31, 32] });
  });

  it('has read all of a switch without VLANs of its own where its list of VLANs has one', async () => {
    const one = await read([...PORTS, ...PLAIN, [`${Q_VLAN_FDB}.0.1`, { gauge: 1 }]]);
    expect(one.tables).toMatchObject({ allVlans: true, vlans: [1] });
    const two = await read([
      ...PORTS,
      ...PLAIN,
      [`${Q_VLAN_FDB}.0.1`, { gauge: 1 }],
      [`${Q_VLAN_FDB}.0.21`, { gauge: 1 }],
    ]);
    expect(two.tables.allVlans).toBe(false);
    const none = await read(PORTS);
    expect(none.tables.allVlans).toBeUndefined();
  });

  // RFC 4363, dot1qPvid: indexed by the bridge port, not by the interface.
  it('tells the VLAN of the untagged frames of a port', async () => {
    const pvid = `${BRIDGE}.7.1.4.5.1.1`;
    const { tables } = await read([...PORTS, [`${pvid}.1`, { gauge: 10 }], [`${pvid}.3`, { gauge: 21 }]]);
    expect(tables.ports.map((port) => port.pvid)).toEqual([10, undefined, 21, undefined]);
  });

  it('tells members of a bundle, by the stack table or by the aggregation MIB', async () => {
    const stack: Objects = [
      ['1.3.6.1.2.1.31.1.2.1.3.10200.10102', { int: 1 }],
      ['1.3.6.1.2.1.31.1.2.1.3.10200.10103', { int: 1 }],
      ['1.3.6.1.2.1.31.1.2.1.3.0.10101', { int: 1 }],
      ['1.3.6.1.2.1.31.1.2.1.3.10101.0', { int: 1 }],
    ];
    const attached = '1.2.840.10006.300.43.1.2.1.1.13';
    const lag: Objects = [
      [`${attached}.10101`, { int: 0 }],
      [`${attached}.10102`, { int: 10200 }],
      [`${attached}.10103`, { int: 10200 }],
    ];
    for (const extra of [stack, lag]) {
      const { tables } = await read([...PORTS, ...extra]);
      expect(tables.ports.map(({ aggregate }) => aggregate)).toEqual([undefined, 10200, 10200, undefined]);
    }
  });

  it('says which bridge ports have no interface', async () => {
    const objects = [...PORTS, ...PLAIN].filter(([oid]) => oid !== `${BRIDGE}.1.4.1.2.2`);
    const { tables } = await read(objects);
    expect(tables.truncated).toBe('forwarding: bridge ports without an interface: 2');
    expect(tables.cutBecause).toBe('malformed');
  });

  it.skipIf(!HAS_SNMPWALK)('reads 12,000 entries, the same as snmpwalk, within seconds', async () => {
    const many = Array.from({ length: 12_000 }, (_, row): readonly [string, Value][] => {
      const index = `0.0.94.${16 + (row >> 14)}.${(row >> 7) & 127}.${row & 127}`;
      return [
        [`${FDB}.2.${index}`, { int: (row % 3) + 1 }],
        [`${FDB}.3.${index}`, { int: 3 }],
      ];
    }).flat();
    const startedAt = performance.now();
    const { tables, agent } = await read([...PORTS, ...many]);
    expect(performance.now() - startedAt).toBeLessThan(10_000);
    expect(tables.truncated).toBeUndefined();
    expect(tables.forwarding).toHaveLength(12_000);
    const walked = await snmpwalk(agent.port, `${FDB}.2`);
    const byTool = walked.map((line) => {
      const [, index = '', port] = /\.17\.4\.3\.1\.2\.([\d.]+) = INTEGER: (\d+)/.exec(line) ?? [];
      const mac = index.split('.').map((octet) => Number(octet).toString(16).padStart(2, '0'));
      return `${mac.join(':')} ${10_100 + Number(port)}`;
    });
    expect(tables.forwarding.map(({ mac, ifIndex }) => `${mac} ${ifIndex}`)).toEqual(byTool);
  });

  it('keeps the ports and neighbours when the long table goes in circles', async () => {
    const { tables } = await read([...PORTS, ...PLAIN], {
      next: (oid, honest) => (oid === `${FDB}.2.0.0.94.0.83.70` ? `${FDB}.2.${WORKED}` : honest),
    });
    expect(tables.ports).toHaveLength(4);
    expect(tables.truncated).toBe(
      'BRIDGE-MIB forwarding: the agent returned object identifiers out of order',
    );
    expect(tables.forwarding[0]?.mac).toBe('00:00:5e:00:53:45');
  });

  it('is empty, with the reason, towards silence', async () => {
    const { tables } = await read([], { dropEach: 1 });
    expect(tables).toEqual({
      switch: 'loft-switch',
      askedAt: '127.0.0.1',
      ports: [],
      forwarding: [],
      neighbours: [],
      ownMacs: [],
      truncated: 'IF-MIB: the agent stopped answering',
      cutBecause: 'timeout',
    });
  });

  it('keeps so many interfaces, and says where it stopped', async () => {
    const endless = Array.from({ length: INTERFACE_LIMIT + 90 }, (_, row): Objects[number][] => [
      [`${IF}.2.${row + 1}`, { text: `port ${row}` }],
      [`${IFX}.1.${row + 7000}`, { text: `other ${row}` }],
    ]).flat();
    const { tables } = await read(endless);
    expect(tables.ports).toHaveLength(INTERFACE_LIMIT);
    expect(tables.truncated).toContain(`IF-MIB: stopped after ${INTERFACE_LIMIT} rows`);
    expect(tables.cutBecause).toBe('too-much');
  });
});

describe('readSwitchTables: neighbours', () => {
  /** The project's capture snmp.hex, frame 7, and the walk beside it: timeMark 500, local port 2, remIndex 1. */
  const remote = (local: number): Objects => [
    [`${LLDP}.4.1.1.4.500.${local}.1`, { int: 4 }],
    [`${LLDP}.4.1.1.5.500.${local}.1`, { hex: '00:00:5e:00:53:10' }],
    [`${LLDP}.4.1.1.6.500.${local}.1`, { int: 7 }],
    [`${LLDP}.4.1.1.7.500.${local}.1`, { text: 'ctlA-data0' }],
    [`${LLDP}.4.1.1.8.500.${local}.1`, { text: 'Controller A data port 0' }],
    [`${LLDP}.4.1.1.9.500.${local}.1`, { text: 'array-ctl-a.example.com' }],
    [`${LLDP}.4.1.1.10.500.${local}.1`, { text: 'Example array controller A' }],
    [`${LLDP}.4.2.1.3.500.${local}.1.1.4.192.0.2.10`, { int: 2 }],
  ];

  const NEIGHBOUR = {
    chassisId: '00:00:5e:00:53:10',
    chassisIdSubtype: 'macAddress',
    portId: 'ctlA-data0',
    portIdSubtype: 'local',
    portDescription: 'Controller A data port 0',
    sysName: 'array-ctl-a.example.com',
    sysDescription: 'Example array controller A',
    managementAddresses: ['192.0.2.10'],
  };

  // LldpPortNumber: dot1dBasePort on a bridge, ifIndex elsewhere.
  it.each<[string, number, Objects, number]>([
    ['a bridge port', 2, [], 10102],
    ['an ifIndex', 10103, [], 10103],
    [
      'a number of its own, with the interface name as port id',
      77,
      [
        [`${LLDP}.3.7.1.2.77`, { int: 5 }],
        [`${LLDP}.3.7.1.3.77`, { text: '1/3' }],
      ],
      10103,
    ],
    [
      'a bridge port of another interface than the id says: the id is believed',
      1,
      [
        [`${LLDP}.3.7.1.2.1`, { int: 3 }],
        [`${LLDP}.3.7.1.3.1`, { hex: '00:00:5e:00:53:12' }],
      ],
      10102,
    ],
    [
      'a number of its own, with the ifIndex as local id',
      5,
      [
        [`${LLDP}.3.7.1.2.5`, { int: 7 }],
        [`${LLDP}.3.7.1.3.5`, { text: '10103' }],
      ],
      10103,
    ],
    [
      'a number of its own, with the description alone',
      6,
      [
        [`${LLDP}.3.7.1.2.6`, { int: 7 }],
        [`${LLDP}.3.7.1.3.6`, { text: 'p6' }],
        [`${LLDP}.3.7.1.4.6`, { text: 'Slot 1 port 1' }],
      ],
      10101,
    ],
  ])('finds the local port where its number is %s', async (_, local, localTable, ifIndex) => {
    const { tables } = await read([...PORTS, ...remote(local), ...localTable]);
    expect(tables.truncated).toBeUndefined();
    expect(tables.neighbours).toEqual([
      { localIfIndex: ifIndex, localPort: `1/${ifIndex - 10100}`, ...NEIGHBOUR },
    ]);
  });

  it('keeps a neighbour whose local port is nobody here', async () => {
    const { tables } = await read([...PORTS, ...remote(99)]);
    expect(tables.neighbours).toEqual([{ localPort: 'LLDP port 99', ...NEIGHBOUR }]);
  });

  it('keeps a row together whose time mark moves while it is read', async () => {
    const moved = remote(2).map(
      ([oid, value], column) => [oid.replace('.500.', `.${500 + column}.`), value] as const,
    );
    const { tables } = await read([...PORTS, ...moved]);
    expect(tables.neighbours).toEqual([{ localIfIndex: 10102, localPort: '1/2', ...NEIGHBOUR }]);
  });

  /**
   * LLDP-V2-MIB (IEEE 802.1AB-2009): lldpV2RemTable is 1.3.111.2.802.1.1.13.1.4.1 with the index time mark, ifIndex, group address, number,
   * and lldpV2RemManAddrTable .4.2 with the same before the address. Column numbers as in the published module.
   */
  const V2 = '1.3.111.2.802.1.1.13.1';
  const remoteV2: Objects = [
    [`${V2}.4.1.1.5.500.10103.1.1`, { int: 4 }],
    [`${V2}.4.1.1.6.500.10103.1.1`, { hex: '00:00:5e:00:53:10' }],
    [`${V2}.4.1.1.7.500.10103.1.1`, { int: 7 }],
    [`${V2}.4.1.1.8.500.10103.1.1`, { text: 'ctlA-data0' }],
    [`${V2}.4.1.1.9.500.10103.1.1`, { text: 'Controller A data port 0' }],
    [`${V2}.4.1.1.10.500.10103.1.1`, { text: 'array-ctl-a.example.com' }],
    [`${V2}.4.1.1.11.500.10103.1.1`, { text: 'Example array controller A' }],
    [`${V2}.4.2.1.3.500.10103.1.1.1.4.192.0.2.10`, { int: 2 }],
    [`${V2}.3.1.0`, { int: 4 }],
    [`${V2}.3.2.0`, { hex: '00:00:5e:00:53:fd' }],
  ];

  it('reads the newer module where only that is served, whose local port is an ifIndex', async () => {
    const { tables } = await read([...PORTS, ...remoteV2]);
    expect(tables.neighbours).toEqual([{ localIfIndex: 10103, localPort: '1/3', ...NEIGHBOUR }]);
    expect(tables.ownMacs).toContain('00:00:5e:00:53:fd');
  });

  it('reads the older module alone where both are served', async () => {
    const { tables } = await read([...PORTS, ...remote(2), ...remoteV2]);
    expect(tables.neighbours).toEqual([{ localIfIndex: 10102, localPort: '1/2', ...NEIGHBOUR }]);
  });

  it('knows its own chassis', async () => {
    const { tables } = await read([
      ...PORTS,
      [`${LLDP}.3.1.0`, { int: 4 }],
      [`${LLDP}.3.2.0`, { hex: '00:00:5e:00:53:fe' }],
    ]);
    expect(tables.ownMacs).toContain('00:00:5e:00:53:fe');
  });
});
