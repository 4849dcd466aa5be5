/**
 * Neighbours by LLDP-MIB (module of 2005-05-06, IEEE 802.1AB-2005 subclause 12.1) and by LLDP-V2-MIB (IEEE 802.1AB-2009 clause 11),
 * which has the same columns one further on and names the local side by its ifIndex.
 */
import type { LldpNeighbour } from '../sighting/types.js';
import { chassisId, type LldpId, portId } from '../wire/lldp-id.js';
import type { Column, ColumnReader, TableReader } from './columns.js';
import { addressFromBytes, bytesValue, numberValue, textValue } from './values.js';

const ROOT = '1.0.8802.1.1.2.1';
const V2_ROOT = '1.3.111.2.802.1.1.13.1';
export const LOC_CHASSIS_SUBTYPE = `${ROOT}.3.1.0`;
export const LOC_CHASSIS_ID = `${ROOT}.3.2.0`;
export const V2_LOC_CHASSIS_SUBTYPE = `${V2_ROOT}.3.1.0`;
export const V2_LOC_CHASSIS_ID = `${V2_ROOT}.3.2.0`;
/** lldpLocPortEntry, indexed by localPortNum. */
const LOC_PORT = `${ROOT}.3.7.1`;
/** Neighbours, local ports, and management addresses of one neighbour, kept of one switch. */
const NEIGHBOUR_LIMIT = 1024;
const LOCAL_PORT_LIMIT = 2048;
const ADDRESS_LIMIT = 16;

/** Where a table of neighbours has what. */
interface Layout {
  readonly name: string;
  /** lldpRemEntry, lldpV2RemEntry. */
  readonly entry: string;
  /** Number of the column chassisIdSubtype; the six that are read after it follow in the same order. */
  readonly firstColumn: number;
  /** Numbers of an index before the neighbour's own: time mark, local port (in version 2 also the group address), and its number. */
  readonly indexLength: number;
  /** lldpRemManAddrIfSubtype, lldpV2RemManAddrIfSubtype: the first readable column; the address stands in the index, length first. */
  readonly managementAddress: string;
  readonly localIsIfIndex: boolean;
}

const V1: Layout = {
  name: 'LLDP-MIB',
  entry: `${ROOT}.4.1.1`,
  firstColumn: 4,
  indexLength: 3,
  managementAddress: `${ROOT}.4.2.1.3`,
  localIsIfIndex: false,
};
const V2: Layout = {
  name: 'LLDP-V2-MIB',
  entry: `${V2_ROOT}.4.1.1`,
  firstColumn: 5,
  indexLength: 4,
  managementAddress: `${V2_ROOT}.4.2.1.3`,
  localIsIfIndex: true,
};

export interface LocalPort {
  readonly number: number;
  readonly id?: LldpId | undefined;
  readonly description?: string | undefined;
}

/** Ports as LLDP numbers them: a number of its own, which is a bridge port on some devices and an ifIndex on others. */
export async function readLocalPorts(reader: TableReader): Promise<ReadonlyMap<number, LocalPort>> {
  const subtypes = new Map<number, number>();
  const ports = new Map<number, LocalPort>();
  const column = (number: number, read: ColumnReader): Column => ({
    table: 'LLDP-MIB local ports',
    oid: `${LOC_PORT}.${number}`,
    read,
    maxRows: LOCAL_PORT_LIMIT,
  });
  await reader.columns([
    column(2, ([port], varbind) => {
      const subtype = numberValue(varbind);
      if (port !== undefined && subtype !== undefined) subtypes.set(port, subtype);
    }),
    column(3, ([port], varbind) => {
      if (port === undefined) return;
      const id = identifier(portId, subtypes.get(port), bytesValue(varbind));
      ports.set(port, { number: port, id });
    }),
    column(4, ([port], varbind) => {
      if (port === undefined) return;
      ports.set(port, { ...(ports.get(port) ?? { number: port }), description: textValue(varbind) });
    }),
  ]);
  return ports;
}

export interface RemoteNeighbour extends Omit<LldpNeighbour, 'localIfIndex' | 'localPort'> {
  readonly localPortNumber: number;
  /** The local port number is an ifIndex, not one of LLDP's own. */
  readonly localIsIfIndex: boolean;
}

interface Row {
  readonly localPortNumber: number;
  chassisSubtype?: number;
  chassis?: Uint8Array;
  portSubtype?: number;
  port?: Uint8Array;
  portDescription?: string;
  sysName?: string;
  sysDescription?: string;
  readonly managementAddresses: string[];
}

/** By the older module, which most agents have; by the newer one where only that is served. */
export async function readRemotes(reader: TableReader): Promise<readonly RemoteNeighbour[]> {
  const neighbours = await readNeighbours(reader, V1);
  return neighbours.length > 0 ? neighbours : readNeighbours(reader, V2);
}

async function readNeighbours(reader: TableReader, layout: Layout): Promise<readonly RemoteNeighbour[]> {
  const { name, entry, firstColumn, indexLength } = layout;
  const rows = new Map<string, Row>();
  const at = (index: readonly number[]): Row | undefined => {
    // Without the time mark: it moves with each change of the row, which may come between two of our columns. The newest comes last.
    const [localPortNumber, ...rest] = index.slice(1, indexLength);
    if (localPortNumber === undefined || rest.length < indexLength - 2) return undefined;
    const key = [localPortNumber, ...rest].join(' ');
    const known = rows.get(key);
    if (known !== undefined || rows.size >= NEIGHBOUR_LIMIT) return known;
    const fresh: Row = { localPortNumber, managementAddresses: [] };
    rows.set(key, fresh);
    return fresh;
  };
  const column = <Key extends keyof Row>(
    number: number,
    key: Key,
    read: (varbind: Parameters<typeof textValue>[0]) => Row[Key] | undefined,
  ): Column => ({
    table: `${name} neighbours`,
    oid: `${entry}.${firstColumn + number}`,
    read: (index, varbind) => {
      const row = at(index);
      const value = read(varbind);
      if (row !== undefined && value !== undefined) row[key] = value;
    },
    maxRows: NEIGHBOUR_LIMIT,
  });
  const managementAddresses: Column = {
    table: `${name} management addresses`,
    oid: layout.managementAddress,
    read: (index) => {
      const address = managementAddress(index.slice(indexLength));
      const row = address === undefined ? undefined : at(index);
      if (row !== undefined && address !== undefined && row.managementAddresses.length < ADDRESS_LIMIT)
        row.managementAddresses.push(address);
    },
    maxRows: NEIGHBOUR_LIMIT * 4,
  };

  const [subtypes] = await reader.columns([
    column(0, 'chassisSubtype', numberValue),
    column(1, 'chassis', bytesValue),
    column(2, 'portSubtype', numberValue),
    column(3, 'port', bytesValue),
    column(4, 'portDescription', shortText),
    column(5, 'sysName', shortText),
    column(6, 'sysDescription', textValue),
    managementAddresses,
  ]);
  if (subtypes === 0) return [];
  return [...rows.values()]
    .map((row) => neighbourOf(row, layout))
    .filter((neighbour) => neighbour !== undefined);
}

/** Names and descriptions of ports; longer ones are no name. */
function shortText(varbind: Parameters<typeof textValue>[0]): string | undefined {
  return textValue(varbind, 128);
}

function neighbourOf(row: Row, { localIsIfIndex }: Layout): RemoteNeighbour | undefined {
  const chassis = identifier(chassisId, row.chassisSubtype, row.chassis);
  const port = identifier(portId, row.portSubtype, row.port);
  if (chassis === undefined || port === undefined) return undefined;
  const { localPortNumber, portDescription, sysName, sysDescription, managementAddresses } = row;
  return {
    localPortNumber,
    localIsIfIndex,
    chassisId: chassis.id,
    chassisIdSubtype: chassis.subtype,
    portId: port.id,
    portIdSubtype: port.subtype,
    ...(portDescription === undefined ? {} : { portDescription }),
    ...(sysName === undefined ? {} : { sysName }),
    ...(sysDescription === undefined ? {} : { sysDescription }),
    managementAddresses,
  };
}

/** On the wire the subtype is the identifier's first octet; the MIB keeps the two apart. */
export function identifier(
  read: (value: Uint8Array) => LldpId,
  subtype: number | undefined,
  id: Uint8Array | undefined,
): LldpId | undefined {
  if (subtype === undefined || id === undefined || subtype > 255) return undefined;
  return read(Uint8Array.of(subtype, ...id));
}

/** Subtype (IANA address family: 1 IPv4, 2 IPv6), length, octets. */
function managementAddress(index: readonly number[]): string | undefined {
  const [family, length, ...octets] = index;
  if (length !== octets.length) return undefined;
  const size = family === 1 ? 4 : family === 2 ? 16 : 0;
  return octets.length === size ? addressFromBytes(octets) : undefined;
}
