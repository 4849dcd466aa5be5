import { afterEach, describe, expect, it } from 'vitest';
import { readFabricTables } from '../../src/snmp/fabric-tables.js';
import { type Agent, type Misbehaviour, type Objects, scriptedAgent } from './scripted-agent.js';
import { community } from './support.js';

const agents: Agent[] = [];
afterEach(async () => {
  for (const agent of agents.splice(0)) await agent.close();
});

async function read(objects: Objects, misbehaviour?: Misbehaviour, version: '1' | '2c' = '2c') {
  const agent = await scriptedAgent(objects, misbehaviour);
  agents.push(agent);
  const target = { address: '127.0.0.1', credential: community(agent.port, version), switch: 'fabric-a-1' };
  return readFabricTables(target, { timeoutMs: 200, attempts: 2 }, new AbortController().signal);
}

/** RFC 2863: ifEntry and ifXEntry; ifType 56 is fibreChannel (IANAifType-MIB). */
const IF = '1.3.6.1.2.1.2.2.1';
const IFX = '1.3.6.1.2.1.31.1.1.1';
/** RFC 4044: fcmInstanceFabricId, fcmSwitchWWN, fcmPortWwn, fcmFLoginPortWwn and fcmFLoginNodeWwn. */
const MGMT = '1.3.6.1.2.1.10.56.1';
/** RFC 2837: fcFeFabricName, fcFxPortName, fcFxPortPhysOperStatus, fcFxPortNxPortName, fcFxPortConnectedNxPort. */
const FE = '1.3.6.1.2.1.75.1';

const wwn = (last: number, kind = '20'): string =>
  `${kind}:00:00:00:5e:00:53:${last.toString(16).padStart(2, '0')}`;

/** A management port, then ports named from 0: up at 16G (as one agent reports it), down, up. */
const INTERFACES: Objects = [
  [`${IF}.3.1`, { int: 6 }],
  [`${IFX}.1.1`, { text: 'mgmt0' }],
  ...[0, 1, 2].flatMap(
    (port): Objects => [
      [`${IF}.3.${100 + port}`, { int: 56 }],
      [`${IF}.8.${100 + port}`, { int: port === 1 ? 2 : 1 }],
      [`${IFX}.1.${100 + port}`, { text: `0/${port}` }],
      [`${IFX}.15.${100 + port}`, { gauge: 14_025 }],
    ],
  ),
];
const MGMT_TABLES: Objects = [
  [`${MGMT}.1.1.9.1`, { hex: wwn(1, '10') }],
  [`${MGMT}.2.1.4.1.1`, { hex: wwn(1, '10') }],
  ...[0, 1, 2].map((port) => [`${MGMT}.3.1.2.${100 + port}`, { hex: wwn(0xa0 + port) }] as const),
  [`${MGMT}.9.1.2.100.1`, { hex: wwn(0x11, '50') }],
  [`${MGMT}.9.1.3.100.1`, { hex: wwn(0x10, '50') }],
  // Two virtual ports of one host behind one fabric port.
  [`${MGMT}.9.1.2.102.1`, { hex: wwn(0x21, '21') }],
  [`${MGMT}.9.1.2.102.2`, { hex: wwn(0x22, '21') }],
];
const FE_TABLES: Objects = [
  [`${FE}.1.1.0`, { hex: wwn(1, '10') }],
  ...[1, 2, 3].flatMap(
    (port): Objects => [
      [`${FE}.1.5.1.2.1.${port}`, { hex: wwn(0x9f + port) }],
      [`${FE}.2.2.1.2.1.${port}`, { int: port === 2 ? 4 : 1 }],
    ],
  ),
  [`${FE}.2.3.1.10.1.1.1`, { hex: wwn(0x11, '50') }],
  [`${FE}.2.3.1.11.1.1.1`, { hex: '01:02:00' }],
  [`${FE}.2.3.1.10.1.3.1`, { hex: wwn(0x21, '21') }],
  // Four octets for three, as some agents send it.
  [`${FE}.2.3.1.11.1.3.1`, { hex: '00:01:03:01' }],
];
const PORTS = [
  { ifIndex: 100, port: '0/0', portName: wwn(0xa0), operStatus: 'up', speedMbps: 14_025 },
  { ifIndex: 101, port: '0/1', portName: wwn(0xa1), operStatus: 'down', speedMbps: 14_025 },
  { ifIndex: 102, port: '0/2', portName: wwn(0xa2), operStatus: 'up', speedMbps: 14_025 },
];

describe('readFabricTables', () => {
  it.each(['1', '2c'] as const)('reads FC-MGMT-MIB alone, version %s', async (version) => {
    expect(await read([...INTERFACES, ...MGMT_TABLES], undefined, version)).toEqual({
      switch: 'fabric-a-1',
      askedAt: '127.0.0.1',
      fabricName: wwn(1, '10'),
      ports: PORTS,
      logins: [
        { portName: wwn(0x11, '50'), nodeName: wwn(0x10, '50'), ifIndex: 100, port: '0/0' },
        { portName: wwn(0x21, '21'), ifIndex: 102, port: '0/2' },
        { portName: wwn(0x22, '21'), ifIndex: 102, port: '0/2' },
      ],
    });
  });

  it('reads FIBRE-CHANNEL-FE-MIB alone: the n-th interface of ifType 56 is the n-th FxPort where the counts agree', async () => {
    expect(await read([...INTERFACES, ...FE_TABLES])).toEqual({
      switch: 'fabric-a-1',
      askedAt: '127.0.0.1',
      fabricName: wwn(1, '10'),
      ports: PORTS,
      logins: [
        { portName: wwn(0x11, '50'), ifIndex: 100, port: '0/0', fcid: '010200' },
        { portName: wwn(0x21, '21'), ifIndex: 102, port: '0/2', fcid: '010301' },
      ],
    });
  });

  it('calls FxPorts by their index where the counts do not agree', async () => {
    const fewer = INTERFACES.filter(([oid]) => !oid.endsWith('.102'));
    const { ports, logins } = await read([...fewer, ...FE_TABLES]);
    expect(ports).toEqual([
      { port: 'FxPort 1', portName: wwn(0xa0), operStatus: 'up' },
      { port: 'FxPort 2', portName: wwn(0xa1), operStatus: 'down' },
      { port: 'FxPort 3', portName: wwn(0xa2), operStatus: 'up' },
    ]);
    expect(logins.map(({ port }) => port)).toEqual(['FxPort 1', 'FxPort 3']);
  });

  it('joins both: by port name where counts mislead, and each login once', async () => {
    // The FxPorts are told in another order than the interfaces.
    const turned: Objects = [
      [`${FE}.1.5.1.2.1.1`, { hex: wwn(0xa2) }],
      [`${FE}.1.5.1.2.1.2`, { hex: wwn(0xa0) }],
      [`${FE}.2.3.1.10.1.1.1`, { hex: wwn(0x21, '21') }],
      [`${FE}.2.3.1.11.1.1.1`, { hex: '01:03:01' }],
      [`${FE}.2.3.1.10.1.2.1`, { hex: wwn(0x11, '50') }],
    ];
    const { ports, logins, truncated } = await read([...INTERFACES, ...MGMT_TABLES, ...turned]);
    expect(truncated).toBeUndefined();
    expect(ports).toEqual(PORTS);
    expect(logins).toEqual([
      { portName: wwn(0x11, '50'), nodeName: wwn(0x10, '50'), ifIndex: 100, port: '0/0' },
      { portName: wwn(0x21, '21'), ifIndex: 102, port: '0/2', fcid: '010301' },
      { portName: wwn(0x22, '21'), ifIndex: 102, port: '0/2' },
    ]);
  });

  it('keeps one name at two ports apart', async () => {
    const { logins } = await read([
      ...INTERFACES,
      ...FE_TABLES,
      [`${FE}.2.3.1.10.1.3.2`, { hex: wwn(0x11, '50') }],
    ]);
    expect(logins.filter(({ portName }) => portName === wwn(0x11, '50')).map(({ port }) => port)).toEqual([
      '0/0',
      '0/2',
    ]);
  });

  it('tells a switch with nobody logged in from an agent that has no table of logins', async () => {
    const isLogin = (oid: string) => oid.startsWith(`${FE}.2.3.`);
    const none = FE_TABLES.filter(([oid]) => !isLogin(oid));
    expect(await read([...INTERFACES, ...none])).toMatchObject({ logins: [], cutBecause: 'not-supported' });
    const dark = INTERFACES.map(
      ([oid, value]) => [oid, oid.startsWith(`${IF}.8.`) ? { int: 2 } : value] as const,
    );
    const empty = await read([...dark, ...none]);
    expect(empty).toMatchObject({ logins: [] });
    expect(empty.truncated).toBeUndefined();
  });

  it('says that an agent without these tables tells nothing', async () => {
    const tables = await read([[`${IF}.3.1`, { int: 6 }]]);
    expect(tables).toMatchObject({ ports: [], logins: [], cutBecause: 'not-supported' });
    expect(tables.truncated).toContain('tells nothing of a fabric');
  });

  it('takes no name of zeros, of another length or of text, and never throws', async () => {
    const { logins, ports } = await read([
      ...INTERFACES,
      [`${MGMT}.3.1.2.100`, { hex: '00:00:00:00:00:00:00:00' }],
      [`${MGMT}.9.1.2.100.1`, { hex: '01:02' }],
      [`${MGMT}.9.1.2.100.2`, { int: 7 }],
      [`${MGMT}.9.1.2.100.3`, { hex: wwn(0x11, '50') }],
    ]);
    expect(logins).toEqual([{ portName: wwn(0x11, '50'), ifIndex: 100, port: '0/0' }]);
    expect(ports).toEqual([{ ifIndex: 100, port: '0/0', operStatus: 'up', speedMbps: 14_025 }]);
  });

  it('keeps what was read before the agent went wrong, and says that it is not all', async () => {
    const tables = await read([...INTERFACES, ...MGMT_TABLES], {
      next: (oid, honest) => (oid === `${MGMT}.9.1.2.102.1` ? oid : honest),
    });
    expect(tables.logins.map(({ portName }) => portName)).toEqual([wwn(0x11, '50'), wwn(0x21, '21')]);
    expect(tables.truncated).toBe('FC-MGMT-MIB: the agent returned object identifiers out of order');
  });

  it('ends at once where the run was ended', async () => {
    const target = { address: '127.0.0.1', credential: community(9), switch: 's' };
    expect(
      await readFabricTables(target, { timeoutMs: 9_000, attempts: 1 }, AbortSignal.abort()),
    ).toMatchObject({ ports: [], cutBecause: 'interrupted' });
  });
});
