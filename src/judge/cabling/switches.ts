/** The tables of the plan's switches, arranged: where each MAC is, what each port leads to. */
import type { Device, Plan } from '../../plan/model.js';
import type { ForwardingEntry, LldpNeighbour, SwitchPort, SwitchTables } from '../../sighting/types.js';
import { globMatches } from '../identity/glob.js';
import type { View } from '../seen/view.js';

/** More addresses than this behind one port: a whole network lies there (common practice, no source). */
const MANY_MACS = 16;

export interface SwitchView {
  readonly name: string;
  readonly ports: readonly SwitchPort[];
  readonly truncated: string | undefined;
  portAt(ifIndex: number): SwitchPort | undefined;
  /** Entries that were learned or set by hand; the switch's own addresses are none. */
  entriesOf(mac: string): readonly ForwardingEntry[];
  macsAt(ifIndex: number): ReadonlySet<string>;
  /** LLDP neighbours with the port each is heard on. */
  readonly neighbours: readonly { readonly neighbour: LldpNeighbour; readonly port: SwitchPort }[];
  /** Why a port is no edge port; `to` where it leads to a switch of the plan. */
  uplinkAt(ifIndex: number): { readonly to?: string | undefined; readonly why: string } | undefined;
}

/** Latest whole tables of each switch; a table that was cut short serves only where there is no whole one. */
export function switchesOf(view: View): Map<string, SwitchView> {
  const latest = new Map<string, SwitchTables>();
  const inOrder = [...view.evidence].sort((a, b) => (a.finishedAt < b.finishedAt ? -1 : 1));
  for (const tables of inOrder.flatMap((evidence) => evidence.switches)) {
    const known = latest.get(tables.switch);
    if (known === undefined || tables.truncated === undefined || known.truncated !== undefined)
      latest.set(tables.switch, tables);
  }
  return new Map([...latest].map(([name, tables]) => [name, arrange(view.plan, tables, latest)]));
}

function arrange(plan: Plan, tables: SwitchTables, all: ReadonlyMap<string, SwitchTables>): SwitchView {
  const byIndex = new Map(tables.ports.map((port) => [port.ifIndex, port]));
  const byName = new Map(tables.ports.map((port) => [port.name, port]));
  const entries = new Map<string, ForwardingEntry[]>();
  const macsOn = new Map<number, Set<string>>();
  for (const entry of tables.forwarding) {
    // RFC 4188 dot1dTpFdbStatus: self is the switch itself, invalid is leaving, other says nothing about a port.
    if (entry.status !== 'learned' && entry.status !== 'mgmt') continue;
    entries.set(entry.mac, [...(entries.get(entry.mac) ?? []), entry]);
    const macs = macsOn.get(entry.ifIndex) ?? new Set();
    macsOn.set(entry.ifIndex, macs.add(entry.mac));
  }
  const neighbours = tables.neighbours.flatMap((neighbour) => {
    const port =
      (neighbour.localIfIndex === undefined ? undefined : byIndex.get(neighbour.localIfIndex)) ??
      byName.get(neighbour.localPort);
    return port === undefined ? [] : [{ neighbour, port }];
  });
  const macsAt = (ifIndex: number) => macsOn.get(ifIndex) ?? new Set<string>();
  const uplinks = uplinksOf(plan, tables, all, neighbours, macsOn);
  return {
    name: tables.switch,
    ports: tables.ports,
    truncated: tables.truncated,
    portAt: (ifIndex) => byIndex.get(ifIndex),
    entriesOf: (mac) => entries.get(mac) ?? [],
    macsAt,
    neighbours,
    uplinkAt: (ifIndex) => uplinks.get(ifIndex),
  };
}

type Uplink = { readonly to?: string | undefined; readonly why: string };

function uplinksOf(
  plan: Plan,
  tables: SwitchTables,
  all: ReadonlyMap<string, SwitchTables>,
  neighbours: SwitchView['neighbours'],
  macsOn: ReadonlyMap<number, ReadonlySet<string>>,
): Map<number, Uplink> {
  const others = switchDevices(plan, all).filter((device) => device.name !== tables.switch);
  const uplinks = new Map<number, Uplink>();
  for (const [ifIndex, macs] of macsOn) {
    const why = manyBehind(plan, macs);
    if (why !== undefined) uplinks.set(ifIndex, { why });
    for (const { name } of others) {
      const own = all.get(name)?.ownMacs ?? [];
      // A management port of the other switch alone is an edge port; with others behind it, it is a link between the two.
      if (own.some((mac) => macs.has(mac)) && [...macs].some((mac) => !own.includes(mac)))
        uplinks.set(ifIndex, { to: name, why: `addresses of ${name} and of others are behind it` });
    }
  }
  for (const { neighbour, port } of neighbours) {
    const other = others.find((device) => isSwitch(plan, device, neighbour, all.get(device.name)));
    if (other === undefined) continue;
    const uplink = { to: other.name, why: `LLDP names ${other.name} there` };
    uplinks.set(port.ifIndex, uplink);
    if (port.aggregate !== undefined) uplinks.set(port.aggregate, uplink);
  }
  return uplinks;
}

/** Two devices of the plan behind one port, or a whole network: no cable of one endpoint ends there alone. */
function manyBehind(plan: Plan, macs: ReadonlySet<string>): string | undefined {
  if (macs.size > MANY_MACS) return `${macs.size} addresses are behind it`;
  const devices = new Set(
    plan.endpoints.filter((e) => e.mac !== undefined && macs.has(e.mac)).map((e) => e.device),
  );
  return devices.size > 1 ? `${[...devices].join(' and ')} are behind it` : undefined;
}

/** Devices that the plan uses as switches, or that answered as one. */
function switchDevices(plan: Plan, all: ReadonlyMap<string, SwitchTables>): readonly Device[] {
  const named = new Set(plan.endpoints.map((endpoint) => endpoint.switch));
  const roles = new Set(plan.endpoints.filter((e) => e.role === 'switch').map((e) => e.device));
  return plan.devices.filter(({ name }) => named.has(name) || roles.has(name) || all.has(name));
}

function isSwitch(
  plan: Plan,
  device: Device,
  neighbour: LldpNeighbour,
  tables: SwitchTables | undefined,
): boolean {
  const endpoints = plan.endpoints.filter((endpoint) => endpoint.device === device.name);
  if (tables?.ownMacs.includes(neighbour.chassisId) === true) return true;
  if (endpoints.some((e) => e.mac !== undefined && e.mac === neighbour.chassisId)) return true;
  if (endpoints.some((e) => e.address !== undefined && neighbour.managementAddresses.includes(e.address)))
    return true;
  return neighbour.sysName !== undefined && namesDevice(device, neighbour.sysName);
}

/** `loft-switch-1`, `loft-switch-1.site.example`, or what the plan states as its sysName. */
export function namesDevice(device: Device, sysName: string): boolean {
  const pattern = device.identity.sysName;
  if (pattern !== undefined && pattern !== '') return globMatches(pattern, sysName);
  const name = sysName.toLowerCase();
  return name === device.name.toLowerCase() || name.startsWith(`${device.name.toLowerCase()}.`);
}
