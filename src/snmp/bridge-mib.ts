/** Where a switch has learned which MAC: BRIDGE-MIB (RFC 4188) and Q-BRIDGE-MIB (RFC 4363). */
import { macFromBytes } from '../plan/mac.js';
import type { ForwardingEntry } from '../sighting/types.js';
import type { ColumnReader, TableReader } from './columns.js';
import { INTERFACE_LIMIT } from './if-mib.js';
import { numberValue } from './values.js';

export const BASE_BRIDGE_ADDRESS = '1.3.6.1.2.1.17.1.1.0';
const BASE_PORT_IF_INDEX = '1.3.6.1.2.1.17.1.4.1.2';
/** dot1dTpFdb, indexed by the six octets of the MAC. */
const TP_FDB_PORT = '1.3.6.1.2.1.17.4.3.1.2';
const TP_FDB_STATUS = '1.3.6.1.2.1.17.4.3.1.3';
/** dot1qTpFdb, indexed by fdbId and the six octets. */
const Q_TP_FDB_PORT = '1.3.6.1.2.1.17.7.1.2.2.1.2';
const Q_TP_FDB_STATUS = '1.3.6.1.2.1.17.7.1.2.2.1.3';
/** dot1qPvid, indexed by dot1dBasePort: the VLAN of frames without a tag. */
const Q_PVID = '1.3.6.1.2.1.17.7.1.4.5.1.1';
/** VLAN ids go to 4094 (IEEE 802.1Q). */
const VLAN_LIMIT = 4094;
/** dot1qVlanFdbId, indexed by timeMark and VLAN. */
const Q_VLAN_FDB_ID = '1.3.6.1.2.1.17.7.1.4.2.1.3';

/** dot1dTpFdbStatus and dot1qTpFdbStatus alike. */
const STATUS: readonly ForwardingEntry['status'][] = ['other', 'other', 'invalid', 'learned', 'self', 'mgmt'];

/** Bridge port -> ifIndex. The two numberings are not the same thing. */
export async function readBasePorts(reader: TableReader): Promise<ReadonlyMap<number, number>> {
  const ports = new Map<number, number>();
  await reader.column('BRIDGE-MIB ports', BASE_PORT_IF_INDEX, numbersInto(ports), INTERFACE_LIMIT);
  return ports;
}

/** Bridge port -> VLAN of its untagged frames. */
export async function readPvids(reader: TableReader): Promise<ReadonlyMap<number, number>> {
  const pvids = new Map<number, number>();
  await reader.column('Q-BRIDGE-MIB ports', Q_PVID, numbersInto(pvids), INTERFACE_LIMIT);
  return pvids;
}

function numbersInto(values: Map<number, number>): ColumnReader {
  return ([index], varbind) => {
    const value = numberValue(varbind);
    if (index !== undefined && value !== undefined) values.set(index, value);
  };
}

export interface Forwarding {
  readonly entries: readonly ForwardingEntry[];
  /** Addresses of the switch itself (status self). */
  readonly selfMacs: readonly string[];
  /** VLANs whose entries these are, where the agent says which there are. */
  readonly vlans?: readonly number[];
  /** The entries are of all VLANs. Absent where there are none, so that nothing can be said. */
  readonly allVlans?: boolean;
}

interface Learned {
  readonly mac: string;
  readonly port: number;
  readonly fdb?: number;
}

/** The table by VLAN where the switch keeps one, else the plain one. Port 0 means "not learned on a port" and is left out. */
export async function readForwarding(
  reader: TableReader,
  basePorts: ReadonlyMap<number, number>,
): Promise<Forwarding> {
  const byVlan = await readFdb(reader, 'Q-BRIDGE-MIB forwarding', Q_TP_FDB_PORT, Q_TP_FDB_STATUS, true);
  const { learned, statuses } =
    byVlan.learned.length > 0
      ? byVlan
      : await readFdb(reader, 'BRIDGE-MIB forwarding', TP_FDB_PORT, TP_FDB_STATUS, false);
  const served = learned.length > 0 ? await readVlans(reader) : new Map<number, ReadonlySet<number>>();
  const vlans = singles(served);
  const entries: ForwardingEntry[] = [];
  const selfMacs = new Set<string>();
  const unmapped = new Set<number>();
  for (const { mac, port, fdb } of learned) {
    const status = statuses.get(keyOf(mac, fdb)) ?? 'other';
    if (status === 'self') selfMacs.add(mac);
    const ifIndex = basePorts.get(port);
    if (ifIndex === undefined) {
      if (port !== 0) unmapped.add(port);
      continue;
    }
    const vlan = fdb === undefined ? undefined : vlans.get(fdb);
    const place = vlan === undefined ? (fdb === undefined ? {} : { fdb }) : { vlan };
    entries.push({ mac, ifIndex, ...place, status });
  }
  if (unmapped.size > 0) {
    const ports = [...unmapped].slice(0, 8).join(', ');
    reader.note(`forwarding: bridge ports without an interface: ${ports}`, 'malformed');
  }
  return { entries, selfMacs: [...selfMacs], ...scopeOf(byVlan.learned.length > 0, learned.length, served) };
}

/**
 * Q-BRIDGE-MIB keeps all VLANs apart. BRIDGE-MIB knows none (RFC 4188 §3.1), and many agents show by it the addresses of one VLAN only
 * (common practice, no source): those are all there are only where the switch has no second VLAN.
 */
function scopeOf(
  byVlan: boolean,
  learned: number,
  served: ReadonlyMap<number, ReadonlySet<number>>,
): Pick<Forwarding, 'vlans' | 'allVlans'> {
  if (learned === 0) return {};
  const vlans = [...new Set([...served.values()].flatMap((of) => [...of]))].sort((a, b) => a - b);
  const allVlans = byVlan || vlans.length === 1;
  return { allVlans, ...(allVlans && vlans.length > 0 ? { vlans } : {}) };
}

async function readFdb(
  reader: TableReader,
  table: string,
  portColumn: string,
  statusColumn: string,
  hasFdb: boolean,
): Promise<{ learned: readonly Learned[]; statuses: ReadonlyMap<string, ForwardingEntry['status']> }> {
  const learned: Learned[] = [];
  const statuses = new Map<string, ForwardingEntry['status']>();
  const place = (index: readonly number[]) => readIndex(index, hasFdb);
  const ports = reader.column(table, portColumn, (index, varbind) => {
    const at = place(index);
    const port = numberValue(varbind);
    if (at !== undefined && port !== undefined) learned.push({ ...at, port });
  });
  const states = reader.column(table, statusColumn, (index, varbind) => {
    const at = place(index);
    const status = STATUS[numberValue(varbind) ?? 0];
    if (at !== undefined && status !== undefined) statuses.set(keyOf(at.mac, at.fdb), status);
  });
  await Promise.all([ports, states]);
  return { learned, statuses };
}

function readIndex(index: readonly number[], hasFdb: boolean): Omit<Learned, 'port'> | undefined {
  const octets = hasFdb ? index.slice(1) : index;
  if (octets.length !== 6 || octets.some((octet) => octet > 255)) return undefined;
  const mac = macFromBytes(Uint8Array.from(octets));
  const fdb = index[0];
  return hasFdb && fdb !== undefined ? { mac, fdb } : { mac };
}

function keyOf(mac: string, fdb: number | undefined): string {
  return fdb === undefined ? mac : `${fdb} ${mac}`;
}

/** fdbId -> VLANs that it serves. An fdbId need not equal its VLAN id (RFC 4363, dot1qVlanFdbId). */
async function readVlans(reader: TableReader): Promise<ReadonlyMap<number, ReadonlySet<number>>> {
  const served = new Map<number, Set<number>>();
  await reader.column(
    'Q-BRIDGE-MIB VLANs',
    Q_VLAN_FDB_ID,
    ([, vlan], varbind) => {
      const fdb = numberValue(varbind);
      if (fdb === undefined || vlan === undefined || vlan > VLAN_LIMIT) return;
      const known = served.get(fdb) ?? new Set();
      served.set(fdb, known.add(vlan));
    },
    VLAN_LIMIT,
  );
  return served;
}

/** fdbId -> VLAN, for those that serve one VLAN only. */
function singles(served: ReadonlyMap<number, ReadonlySet<number>>): ReadonlyMap<number, number> {
  return new Map(
    [...served].flatMap(([fdb, vlans]) => {
      const [vlan] = vlans;
      return vlans.size === 1 && vlan !== undefined ? [[fdb, vlan] as const] : [];
    }),
  );
}
