/** One switch's whole view of its ports: who is behind each of them, and who it is itself. */
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type { LldpNeighbour, SwitchPort, SwitchTables } from '../sighting/types.js';
import { chassisId } from '../wire/lldp-id.js';
import { readAggregates } from './aggregates.js';
import { BASE_BRIDGE_ADDRESS, readBasePorts, readForwarding, readPvids } from './bridge-mib.js';
import { readingTables, type TableReader } from './columns.js';
import { type Interface, readInterfaces } from './if-mib.js';
import {
  identifier,
  LOC_CHASSIS_ID,
  LOC_CHASSIS_SUBTYPE,
  type LocalPort,
  readLocalPorts,
  readRemotes,
  V2_LOC_CHASSIS_ID,
  V2_LOC_CHASSIS_SUBTYPE,
} from './lldp-mib.js';
import { interfaceOf } from './local-port.js';
import { bytesValue, macValue, numberValue } from './values.js';

export interface SwitchTarget {
  readonly address: string;
  readonly credential: ResolvedSnmp;
  readonly switch: string;
}

/** `patience` is for one request. Whatever could not be read is told in `truncated` and `cutBecause`. */
export const readSwitchTables: Probe<SwitchTarget, SwitchTables> = async (target, patience, signal) => {
  const head = { switch: target.switch, askedAt: target.address };
  return { ...head, ...(await readingTables(target, patience, signal, NONE, readTables)) };
};

type Tables = Omit<SwitchTables, 'switch' | 'askedAt' | 'truncated' | 'cutBecause'>;

const NONE: Tables = { ports: [], forwarding: [], neighbours: [], ownMacs: [] };

async function readTables(reader: TableReader): Promise<Tables> {
  const interfaces = await readInterfaces(reader, { alias: true });
  const basePorts = await readBasePorts(reader);
  const pvids = await readPvids(reader);
  const aggregates = await readAggregates(reader, interfaces);
  const remotes = await readRemotes(reader);
  const numbered = remotes.some(({ localIsIfIndex }) => !localIsIfIndex);
  const localPorts = numbered ? await readLocalPorts(reader) : new Map<number, LocalPort>();
  const neighbours = remotes.map(({ localPortNumber, localIsIfIndex, ...remote }): LldpNeighbour => {
    const port = localIsIfIndex
      ? interfaces.get(localPortNumber)
      : interfaceOf(localPortNumber, localPorts, interfaces, basePorts);
    const said = localPorts.get(localPortNumber)?.id?.id;
    return port === undefined
      ? { localPort: said ?? `LLDP port ${localPortNumber}`, ...remote }
      : { localIfIndex: port.ifIndex, localPort: nameOf(port), ...remote };
  });
  const own = await readOwnMacs(reader, interfaces);
  // The long table comes last: what is cut off there costs nothing else.
  const { entries, selfMacs, ...scope } = await readForwarding(reader, basePorts);
  return {
    ports: switchPorts(interfaces, basePorts, pvids, aggregates),
    forwarding: entries,
    neighbours,
    ownMacs: ownMacs(own, selfMacs),
    ...scope,
  };
}

function nameOf({ ifName, ifDescr, ifIndex }: Interface): string {
  return ifName ?? ifDescr ?? `interface ${ifIndex}`;
}

function switchPorts(
  interfaces: ReadonlyMap<number, Interface>,
  basePorts: ReadonlyMap<number, number>,
  pvids: ReadonlyMap<number, number>,
  aggregates: ReadonlyMap<number, number>,
): readonly SwitchPort[] {
  const bridgePortOf = new Map([...basePorts].map(([port, ifIndex]) => [ifIndex, port]));
  return [...interfaces.values()].map((one) => {
    const { ifIndex, ifDescr, ifAlias, ifType, operStatus, speedMbps } = one;
    const bridgePort = bridgePortOf.get(ifIndex);
    const aggregate = aggregates.get(ifIndex);
    const pvid = bridgePort === undefined ? undefined : pvids.get(bridgePort);
    return {
      ...(bridgePort === undefined ? {} : { bridgePort }),
      ifIndex,
      name: nameOf(one),
      ...(ifDescr === undefined ? {} : { descr: ifDescr }),
      ...(ifAlias === undefined ? {} : { alias: ifAlias }),
      ...(ifType === undefined ? {} : { ifType }),
      ...(operStatus === undefined ? {} : { operStatus }),
      ...(speedMbps === undefined ? {} : { speedMbps }),
      ...(aggregate === undefined ? {} : { aggregate }),
      ...(pvid === undefined ? {} : { pvid }),
    };
  });
}

/** The switch's MACs: of its bridge, its ports, its LLDP chassis. They are no neighbours of anybody. */
async function readOwnMacs(
  reader: TableReader,
  interfaces: ReadonlyMap<number, Interface>,
): Promise<readonly string[]> {
  const scalars = await reader.scalars([
    BASE_BRIDGE_ADDRESS,
    LOC_CHASSIS_SUBTYPE,
    LOC_CHASSIS_ID,
    V2_LOC_CHASSIS_SUBTYPE,
    V2_LOC_CHASSIS_ID,
  ]);
  const chassisBy = (subtype: string, id: string) =>
    identifier(chassisId, numberValue(scalars.get(subtype)), bytesValue(scalars.get(id)));
  const chassis =
    chassisBy(LOC_CHASSIS_SUBTYPE, LOC_CHASSIS_ID) ?? chassisBy(V2_LOC_CHASSIS_SUBTYPE, V2_LOC_CHASSIS_ID);
  const macs = [
    macValue(scalars.get(BASE_BRIDGE_ADDRESS)),
    ...[...interfaces.values()].map(({ mac }) => mac),
  ];
  if (chassis?.subtype === 'macAddress') macs.push(chassis.id);
  return macs.filter((mac) => mac !== undefined);
}

function ownMacs(own: readonly string[], selfMacs: readonly string[]): readonly string[] {
  return [...new Set([...own, ...selfMacs])].filter((mac) => mac !== '00:00:00:00:00:00');
}
