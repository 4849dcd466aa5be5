/** What an agent of the site tells, as rows for net-snmp's own agent. Objects and columns as in the RFC of each module. */
import { MaxAccess, MibProviderType, ObjectType } from 'net-snmp';

export interface DemoPort {
  readonly index: number;
  readonly name: string;
  readonly mac: string;
  readonly up: boolean;
  readonly speedMbps: number;
  /** IPv4 address of the port, where it has one. */
  readonly address?: string | undefined;
}

export interface DemoAgentFacts {
  readonly sysName: string;
  readonly sysDescr: string;
  readonly serial: string;
  readonly ports: readonly DemoPort[];
  /** A switch: which MAC was learnt on which of its ports, in which VLAN. */
  readonly forwarding?: readonly Forwarding[] | undefined;
}

export interface Forwarding {
  readonly mac: string;
  readonly port: number;
  readonly vlan: number;
}

/** The part of net-snmp's Mib that is used here; its types leave it open. */
export interface AgentMib {
  registerProvider(definition: object): void;
  setScalarValue(name: string, value: string | number): void;
  addTableRow(name: string, row: readonly (string | number | Buffer)[]): void;
}

export function fillMib(mib: AgentMib, facts: DemoAgentFacts): void {
  systemGroup(mib, facts);
  entity(mib, facts);
  interfaces(mib, facts.ports);
  addresses(mib, facts.ports);
  if (facts.forwarding === undefined) return;
  bridge(mib, facts.ports, facts.forwarding);
  virtualBridge(mib, facts.forwarding);
}

const readOnly = MaxAccess['read-only'];
const hidden = MaxAccess['not-accessible'];
const { Integer, OctetString, Gauge } = ObjectType;

/** RFC 3418. The object identifier is under the enterprise number for documentation (RFC 5612). */
function systemGroup(mib: AgentMib, { sysName, sysDescr }: DemoAgentFacts): void {
  const scalars = [
    ['sysDescr', 1, OctetString, sysDescr],
    ['sysObjectID', 2, ObjectType.OID, '1.3.6.1.4.1.32473.1'],
    ['sysUpTime', 3, ObjectType.TimeTicks, 360_000],
    ['sysContact', 4, OctetString, 'desk@harbour.example'],
    ['sysName', 5, OctetString, sysName],
    ['sysLocation', 6, OctetString, 'Harbour Library, loft, rack R3'],
  ] as const;
  for (const [name, number, scalarType, value] of scalars) {
    const oid = `1.3.6.1.2.1.1.${number}`;
    mib.registerProvider({ name, type: MibProviderType.Scalar, oid, scalarType, maxAccess: readOnly });
    mib.setScalarValue(name, value);
  }
}

/** ENTITY-MIB (RFC 6933): one chassis with its serial number. */
function entity(mib: AgentMib, { serial }: DemoAgentFacts): void {
  table(mib, 'entPhysicalTable', '1.3.6.1.2.1.47.1.1.1.1', [
    [1, 'entPhysicalIndex', Integer],
    [5, 'entPhysicalClass', Integer],
    [11, 'entPhysicalSerialNum', OctetString],
  ]);
  mib.addTableRow('entPhysicalTable', [1, 3, serial]);
}

/** IF-MIB (RFC 2863): ifTable and ifXTable. */
function interfaces(mib: AgentMib, ports: readonly DemoPort[]): void {
  table(mib, 'ifTable', '1.3.6.1.2.1.2.2.1', [
    [1, 'ifIndex', Integer],
    [2, 'ifDescr', OctetString],
    [3, 'ifType', Integer],
    [4, 'ifMtu', Integer],
    [5, 'ifSpeed', Gauge],
    [6, 'ifPhysAddress', OctetString],
    [7, 'ifAdminStatus', Integer],
    [8, 'ifOperStatus', Integer],
  ]);
  table(mib, 'ifXTable', '1.3.6.1.2.1.31.1.1.1', [
    [1, 'ifName', OctetString],
    [15, 'ifHighSpeed', Gauge],
    [101, 'ifXIndex', Integer, hidden],
  ]);
  for (const { index, name, mac, up, speedMbps } of ports) {
    // ifSpeed stops at its largest value (RFC 2863, ifSpeed).
    const bitsPerSecond = Math.min(speedMbps * 1e6, 4_294_967_295);
    mib.addTableRow('ifTable', [index, `port ${name}`, 6, 9000, bitsPerSecond, macBytes(mac), 1, up ? 1 : 2]);
    mib.addTableRow('ifXTable', [name, speedMbps, index]);
  }
}

/** IP-MIB (RFC 4293), ipAddrTable: which port has which address. The index is the address as four numbers. */
function addresses(mib: AgentMib, ports: readonly DemoPort[]): void {
  octetTable(mib, 'ipAddrTable', '1.3.6.1.2.1.4.20.1', 4, [[2, 'ipAdEntIfIndex', Integer]]);
  for (const { index, address } of ports)
    if (address !== undefined) mib.addTableRow('ipAddrTable', [index, ...address.split('.').map(Number)]);
}

/** BRIDGE-MIB (RFC 4188): bridge ports, and the forwarding table with the MAC as six numbers of the index. */
function bridge(mib: AgentMib, ports: readonly DemoPort[], forwarding: readonly Forwarding[]): void {
  table(mib, 'dot1dBasePortTable', '1.3.6.1.2.1.17.1.4.1', [
    [1, 'dot1dBasePort', Integer],
    [2, 'dot1dBasePortIfIndex', Integer],
  ]);
  for (const { index } of ports) mib.addTableRow('dot1dBasePortTable', [bridgePort(index), index]);
  octetTable(mib, 'dot1dTpFdbTable', '1.3.6.1.2.1.17.4.3.1', 6, [
    [2, 'dot1dTpFdbPort', Integer],
    [3, 'dot1dTpFdbStatus', Integer],
  ]);
  for (const { mac, port } of forwarding)
    mib.addTableRow('dot1dTpFdbTable', [bridgePort(port), LEARNED, ...macBytes(mac)]);
}

/** Q-BRIDGE-MIB (RFC 4363): the same by VLAN, and which filtering database serves which VLAN. */
function virtualBridge(mib: AgentMib, forwarding: readonly Forwarding[]): void {
  octetTable(mib, 'dot1qTpFdbTable', '1.3.6.1.2.1.17.7.1.2.2.1', 7, [
    [2, 'dot1qTpFdbPort', Integer],
    [3, 'dot1qTpFdbStatus', Integer],
  ]);
  for (const { mac, port, vlan } of forwarding)
    mib.addTableRow('dot1qTpFdbTable', [bridgePort(port), LEARNED, databaseOf(vlan), ...macBytes(mac)]);
  octetTable(mib, 'dot1qVlanCurrentTable', '1.3.6.1.2.1.17.7.1.4.2.1', 2, [[3, 'dot1qVlanFdbId', Gauge]]);
  // The first number of the index is the time mark: 0 tells all rows (RFC 4502, TimeFilter).
  for (const vlan of new Set(forwarding.map(({ vlan }) => vlan)))
    mib.addTableRow('dot1qVlanCurrentTable', [databaseOf(vlan), 0, vlan]);
}

/** dot1dTpFdbStatus and dot1qTpFdbStatus. */
const LEARNED = 3;

/** Bridge ports are counted apart from ifIndex on real switches too. */
function bridgePort(ifIndex: number): number {
  return ifIndex + 100;
}

/** Filtering databases are counted apart from VLANs on real switches too (RFC 4363, dot1qVlanFdbId). */
function databaseOf(vlan: number): number {
  return vlan + 1000;
}

type Column = readonly [number: number, name: string, type: ObjectType, access?: MaxAccess];

function table(
  mib: AgentMib,
  name: string,
  oid: string,
  columns: readonly Column[],
  index: readonly string[] = [columns.find(([number]) => number === 101)?.[1] ?? columns[0]?.[1] ?? ''],
): void {
  mib.registerProvider({
    name,
    type: MibProviderType.Table,
    oid,
    maxAccess: hidden,
    tableColumns: columns.map(([number, columnName, type, access]) => ({
      number,
      name: columnName,
      type,
      maxAccess: access ?? readOnly,
    })),
    tableIndex: index.map((columnName) => ({ columnName })),
  });
}

/** A table whose index is a row of plain numbers. They follow the columns in each row. */
function octetTable(
  mib: AgentMib,
  name: string,
  oid: string,
  size: number,
  columns: readonly Column[],
): void {
  const numbers = Array.from(
    { length: size },
    (_, at): Column => [101 + at, `${name}${at}`, Integer, hidden],
  );
  table(
    mib,
    name,
    oid,
    [...columns, ...numbers],
    numbers.map(([, column]) => column),
  );
}

function macBytes(mac: string): Buffer {
  return Buffer.from(mac.replaceAll(':', ''), 'hex');
}
