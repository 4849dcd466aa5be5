/** Which Fibre Channel port name is logged in at which fabric port, as the agents of the fabric's switches tell it (RFC 2837, RFC 4044). */
import type { View } from '../evidence/view.js';
import type { Endpoint } from '../plan/model.js';
import type { FabricPort, FabricTables, SwitchPort, SwitchTables } from '../sighting/types.js';

/** IANAifType fibreChannel. */
const FIBRE_CHANNEL = 56;

export interface Login {
  readonly switch: string;
  readonly port: SwitchPort;
  readonly fabricName: string | undefined;
  /** The run that it was told in: logins of two runs may be one cable that moved. */
  readonly run: string;
  readonly vantage: string;
}

export interface Fabrics {
  /** Switches whose login table was read, and whether to its end. */
  readonly read: ReadonlyMap<
    string,
    { readonly whole: boolean; readonly fabricName: string | undefined; readonly vantage: string }
  >;
  /** Every place where a port name is logged in, by the latest run that tells of it. */
  at(portName: string): readonly Login[];
  /** Port names that are logged in at one port of a switch. */
  namesAt(switchName: string, ifIndex: number): readonly string[];
  /** Planned name of the fabric (the network of the plan) that a switch belongs to, where its endpoints are all of one. */
  fabricOf(switchName: string): string | undefined;
  /** Switches that the plan has in the fabric of this endpoint. */
  switchesOf(endpoint: Endpoint): readonly string[];
}

export interface ReadFabric {
  readonly tables: FabricTables;
  readonly run: string;
  readonly vantage: string;
}

/** The latest tables of each switch; one that was cut short serves only where there is no whole one. */
export function latestFabrics(view: View): ReadonlyMap<string, ReadFabric> {
  const latest = new Map<string, ReadFabric>();
  const inOrder = [...view.evidence].sort((a, b) => (a.finishedAt < b.finishedAt ? -1 : 1));
  for (const { fabrics, finishedAt, vantage } of inOrder) {
    for (const tables of fabrics) {
      // An agent that tells nothing of a fabric is that of another kind of switch.
      if (tables.ports.length === 0 && tables.logins.length === 0) continue;
      const known = latest.get(tables.switch);
      if (known === undefined || tables.truncated === undefined || known.tables.truncated !== undefined)
        latest.set(tables.switch, { tables, run: `${finishedAt} ${vantage.name}`, vantage: vantage.name });
    }
  }
  return latest;
}

export function fabricsOf(view: View): Fabrics {
  const latest = latestFabrics(view);
  const logins = new Map<string, Login[]>();
  const names = new Map<string, string[]>();
  for (const { tables, run, vantage } of latest.values()) {
    const ports = switchPortsOf(tables);
    for (const { portName, port: called, ifIndex } of tables.logins) {
      const port = ports.find((one) =>
        ifIndex === undefined ? one.name === called : one.ifIndex === ifIndex,
      ) ?? {
        ifIndex: ifIndex ?? -1 - ports.length,
        name: called,
      };
      const login = { switch: tables.switch, port, fabricName: tables.fabricName, run, vantage };
      logins.set(portName, [...(logins.get(portName) ?? []), login]);
      const key = `${tables.switch} ${port.ifIndex}`;
      names.set(key, [...(names.get(key) ?? []), portName]);
    }
  }
  const planned = plannedFabrics(view);
  return {
    read: new Map(
      [...latest].map(([name, { tables, vantage }]) => [
        name,
        { whole: tables.truncated === undefined, fabricName: tables.fabricName, vantage },
      ]),
    ),
    at: (portName) => latestRun(logins.get(portName) ?? []),
    namesAt: (switchName, ifIndex) => names.get(`${switchName} ${ifIndex}`) ?? [],
    fabricOf: (switchName) => {
      const [only, ...more] = planned.networksOn.get(switchName) ?? [];
      return more.length > 0 ? undefined : only;
    },
    switchesOf: ({ network }) => [...(planned.switchesIn.get(network ?? '') ?? [])],
  };
}

function latestRun(logins: readonly Login[]): readonly Login[] {
  const latest = logins
    .map(({ run }) => run)
    .sort()
    .at(-1);
  return logins.filter(({ run }) => run === latest);
}

function plannedFabrics(view: View) {
  const networksOn = new Map<string, Set<string>>();
  const switchesIn = new Map<string, Set<string>>();
  for (const endpoint of view.plan.endpoints) {
    const network = endpoint.media === 'fc' || endpoint.wwpn !== undefined ? endpoint.network : undefined;
    if (network === undefined) continue;
    for (const { switch: name } of endpoint.switchPorts) {
      networksOn.set(name, (networksOn.get(name) ?? new Set()).add(network));
      switchesIn.set(network, (switchesIn.get(network) ?? new Set()).add(name));
    }
  }
  return { networksOn, switchesIn };
}

/** Fabric ports as ports of a switch, so that a planned port is found in both alike. */
function switchPortsOf({ ports }: FabricTables): SwitchPort[] {
  return ports.map(asSwitchPort);
}

function asSwitchPort({ ifIndex, port, operStatus, speedMbps }: FabricPort, position: number): SwitchPort {
  return {
    // A port that is known by its number alone gets a place of its own beside the real indexes.
    ifIndex: ifIndex ?? -1 - position,
    name: port,
    ifType: FIBRE_CHANNEL,
    ...(operStatus === undefined ? {} : { operStatus }),
    ...(speedMbps === undefined ? {} : { speedMbps }),
  };
}

export type ToldTables = SwitchTables & { readonly vantage: string };

/** The fabric ports of a switch among its others; what IF-MIB tells of the same port goes before. */
export function withFabric(
  known: ToldTables | undefined,
  { tables: fabric, vantage }: ReadFabric,
): ToldTables {
  const ports = switchPortsOf(fabric);
  if (known === undefined)
    return {
      switch: fabric.switch,
      askedAt: fabric.askedAt,
      ports,
      forwarding: [],
      neighbours: [],
      ownMacs: [],
      vantage,
      ...(fabric.truncated === undefined ? {} : { truncated: fabric.truncated }),
    };
  const byIndex = new Map(ports.map((port) => [port.ifIndex, port]));
  const joined = known.ports.map((port) => ({ ...byIndex.get(port.ifIndex), ...port }));
  const there = new Set(known.ports.map(({ ifIndex }) => ifIndex));
  return { ...known, ports: [...joined, ...ports.filter(({ ifIndex }) => !there.has(ifIndex))] };
}
