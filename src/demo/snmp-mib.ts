/** What an agent of the site tells, as rows for net-snmp's own agent. Objects and columns as in the RFC of each module. */
import { MaxAccess, MibProviderType, ObjectType } from 'net-snmp';

export interface DemoPort {
  readonly index: number;
  readonly name: string;
  readonly mac: string;
  readonly up: boolean;
  readonly speedMbps: number;
}

export interface DemoAgentFacts {
  readonly sysName: string;
  readonly sysDescr: string;
  readonly serial: string;
  readonly ports: readonly DemoPort[];
  /** A switch: which MAC was learnt on which of its ports. */
  readonly forwarding?: readonly { readonly mac: string; readonly port: number }[] | undefined;
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
  if (facts.forwarding !== undefined) bridge(mib, facts.ports, facts.forwarding);
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

/** BRIDGE-MIB (RFC 4188): bridge ports, and the forwarding table with the MAC as six numbers of the index. */
function bridge(
  mib: AgentMib,
  ports: readonly DemoPort[],
  forwarding: NonNullable<DemoAgentFacts['forwarding']>,
): void {
  table(mib, 'dot1dBasePortTable', '1.3.6.1.2.1.17.1.4.1', [
    [1, 'dot1dBasePort', Integer],
    [2, 'dot1dBasePortIfIndex', Integer],
  ]);
  for (const { index } of ports) mib.addTableRow('dot1dBasePortTable', [bridgePort(index), index]);
  const octets = [101, 102, 103, 104, 105, 106];
  table(
    mib,
    'dot1dTpFdbTable',
    '1.3.6.1.2.1.17.4.3.1',
    [
      [2, 'dot1dTpFdbPort', Integer],
      [3, 'dot1dTpFdbStatus', Integer],
      ...octets.map((number): Column => [number, `octet${number}`, Integer, hidden]),
    ],
    octets.map((number) => `octet${number}`),
  );
  for (const { mac, port } of forwarding)
    mib.addTableRow('dot1dTpFdbTable', [bridgePort(port), LEARNED, ...macBytes(mac)]);
}

const LEARNED = 3;

/** Bridge ports are counted apart from ifIndex on real switches too. */
function bridgePort(ifIndex: number): number {
  return ifIndex + 100;
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

function macBytes(mac: string): Buffer {
  return Buffer.from(mac.replaceAll(':', ''), 'hex');
}
