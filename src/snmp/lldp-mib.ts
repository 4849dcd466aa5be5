/** Neighbours by LLDP-MIB (module of 2005-05-06, IEEE 802.1AB-2005 subclause 12.1). */
import type { LldpNeighbour } from '../sighting/types.js';
import { chassisId, type LldpId, portId } from '../wire/lldp-id.js';
import type { TableReader } from './columns.js';
import { addressFromBytes, bytesValue, numberValue, textValue } from './values.js';

const ROOT = '1.0.8802.1.1.2.1';
export const LOC_CHASSIS_SUBTYPE = `${ROOT}.3.1.0`;
export const LOC_CHASSIS_ID = `${ROOT}.3.2.0`;
/** lldpLocPortEntry, indexed by localPortNum. */
const LOC_PORT = `${ROOT}.3.7.1`;
/** lldpRemEntry, indexed by timeMark, localPortNum, remIndex. */
const REM = `${ROOT}.4.1.1`;
/** lldpRemManAddrIfSubtype: the first readable column; the address stands in the index, length first. */
const REM_MAN_ADDR = `${ROOT}.4.2.1.3`;
/** Neighbours kept of one switch. */
const NEIGHBOUR_LIMIT = 4096;

export interface LocalPort {
  readonly number: number;
  readonly id?: LldpId | undefined;
  readonly description?: string | undefined;
}

/** Ports as LLDP numbers them: a number of its own, which is a bridge port on some boxes and an ifIndex on others. */
export async function readLocalPorts(reader: TableReader): Promise<ReadonlyMap<number, LocalPort>> {
  const subtypes = new Map<number, number>();
  const ports = new Map<number, LocalPort>();
  await reader.column('LLDP-MIB local ports', `${LOC_PORT}.2`, ([port], varbind) => {
    const subtype = numberValue(varbind);
    if (port !== undefined && subtype !== undefined) subtypes.set(port, subtype);
  });
  await reader.column('LLDP-MIB local ports', `${LOC_PORT}.3`, ([port], varbind) => {
    if (port === undefined) return;
    const id = identifier(portId, subtypes.get(port), bytesValue(varbind));
    ports.set(port, { number: port, id });
  });
  await reader.column('LLDP-MIB local ports', `${LOC_PORT}.4`, ([port], varbind) => {
    if (port === undefined) return;
    ports.set(port, { ...(ports.get(port) ?? { number: port }), description: textValue(varbind) });
  });
  return ports;
}

export interface RemoteNeighbour extends Omit<LldpNeighbour, 'localIfIndex' | 'localPort'> {
  readonly localPortNumber: number;
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

export async function readRemotes(reader: TableReader): Promise<readonly RemoteNeighbour[]> {
  const rows = new Map<string, Row>();
  const at = (index: readonly number[]): Row | undefined => {
    // Without the time mark: it moves with each change of the row, which may come between two of our columns. The newest comes last.
    const [, localPortNumber, remIndex] = index;
    if (localPortNumber === undefined || remIndex === undefined) return undefined;
    const key = `${localPortNumber} ${remIndex}`;
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
  ) =>
    reader.column('LLDP-MIB neighbours', `${REM}.${number}`, (index, varbind) => {
      const row = at(index);
      const value = read(varbind);
      if (row !== undefined && value !== undefined) row[key] = value;
    });

  if ((await column(4, 'chassisSubtype', numberValue)) === 0) return [];
  await column(5, 'chassis', bytesValue);
  await column(6, 'portSubtype', numberValue);
  await column(7, 'port', bytesValue);
  await column(8, 'portDescription', textValue);
  await column(9, 'sysName', textValue);
  await column(10, 'sysDescription', textValue);
  await reader.column('LLDP-MIB management addresses', REM_MAN_ADDR, (index) => {
    const address = managementAddress(index.slice(3));
    const row = address === undefined ? undefined : at(index);
    if (row !== undefined && address !== undefined) row.managementAddresses.push(address);
  });
  return [...rows.values()].map(neighbourOf).filter((neighbour) => neighbour !== undefined);
}

function neighbourOf(row: Row): RemoteNeighbour | undefined {
  const chassis = identifier(chassisId, row.chassisSubtype, row.chassis);
  const port = identifier(portId, row.portSubtype, row.port);
  if (chassis === undefined || port === undefined) return undefined;
  const { localPortNumber, portDescription, sysName, sysDescription, managementAddresses } = row;
  return {
    localPortNumber,
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
