/** The tables of the plan's switches, arranged: where each MAC is, what each port leads to. */

import type { View } from '../evidence/view.js';
import { globMatches } from '../identity/glob.js';
import type { Device, Plan } from '../plan/model.js';
import type { ForwardingEntry, LldpNeighbour, SwitchPort } from '../sighting/types.js';
import { list } from '../text/sentence.js';
import { latestFabrics, type ToldTables, withFabric } from './fabric.js';
import { withoutUnits } from './port-kind.js';

/** More addresses than this behind one port: a whole network lies there (common practice, no source). */
const MANY_MACS = 16;

export interface SwitchView {
  readonly name: string;
  readonly ports: readonly SwitchPort[];
  readonly truncated: string | undefined;
  /** It told a forwarding table at all. An agent without one has no entry, not even its own. */
  readonly hasTable: boolean;
  /** From where its agent was asked. */
  readonly vantage: string;
  /**
   * It told its forwarding table whole for that VLAN: what is not in there is not behind it. A table of one VLAN (BRIDGE-MIB alone)
   * is not whole where the plan has several VLANs on the switch.
   */
  toldAll(vlan: number | undefined): boolean;
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
  const latest = new Map<string, ToldTables>();
  const inOrder = [...view.evidence].sort((a, b) => (a.finishedAt < b.finishedAt ? -1 : 1));
  for (const { switches, vantage } of inOrder) {
    for (const tables of switches) {
      const known = latest.get(tables.switch);
      if (known === undefined || tables.truncated === undefined || known.truncated !== undefined)
        latest.set(tables.switch, { ...tables, vantage: vantage.name });
    }
  }
  for (const [name, fabric] of latestFabrics(view)) latest.set(name, withFabric(latest.get(name), fabric));
  const marks = marksOf(view.plan, latest);
  const vlans = plannedVlans(view);
  return new Map(
    [...latest].map(([name, tables]) => [name, arrange(tables, marks, vlans.get(name) ?? new Set())]),
  );
}

/** VLANs of the endpoints that the plan has on each switch. */
function plannedVlans(view: View): Map<string, Set<number>> {
  const vlans = new Map<string, Set<number>>();
  for (const endpoint of view.plan.endpoints) {
    const vlan = endpoint.switchPorts.length === 0 ? undefined : view.networkOf(endpoint)?.vlan;
    if (vlan === undefined) continue;
    for (const { switch: name } of endpoint.switchPorts)
      vlans.set(name, (vlans.get(name) ?? new Set()).add(vlan));
  }
  return vlans;
}

/** By what the devices of the plan are known again in a table. */
interface Marks {
  /** Planned MAC -> device. */
  readonly deviceOf: ReadonlyMap<string, string>;
  /** Own MACs and planned addresses of switches -> switch. */
  readonly switchOf: ReadonlyMap<string, string>;
  readonly switches: readonly Device[];
}

function marksOf(plan: Plan, all: ReadonlyMap<string, ToldTables>): Marks {
  const named = new Set<string | undefined>(all.keys());
  for (const endpoint of plan.endpoints) {
    for (const member of endpoint.switchPorts) named.add(member.switch);
    if (endpoint.role === 'switch') named.add(endpoint.device);
  }
  const deviceOf = new Map<string, string>();
  const switchOf = new Map<string, string>();
  for (const { device, mac, address } of plan.endpoints) {
    if (mac !== undefined) deviceOf.set(mac, device);
    if (!named.has(device)) continue;
    if (mac !== undefined) switchOf.set(mac, device);
    if (address !== undefined) switchOf.set(address, device);
  }
  for (const [name, { ownMacs }] of all) for (const mac of ownMacs) switchOf.set(mac, name);
  return { deviceOf, switchOf, switches: plan.devices.filter(({ name }) => named.has(name)) };
}

function arrange(tables: ToldTables, marks: Marks, vlans: ReadonlySet<number>): SwitchView {
  const { ports, portOf } = withoutUnits(tables.ports);
  const byIndex = new Map(ports.map((port) => [port.ifIndex, port]));
  const byName = new Map(ports.map((port) => [port.name, port]));
  for (const [unit, base] of portOf) {
    const port = byIndex.get(base);
    if (port === undefined) continue;
    byIndex.set(unit, port);
    byName.set(tables.ports.find(({ ifIndex }) => ifIndex === unit)?.name ?? '', port);
  }
  const entries = new Map<string, ForwardingEntry[]>();
  const macsOn = new Map<number, Set<string>>();
  for (const told of tables.forwarding) {
    const entry = portOf.has(told.ifIndex)
      ? { ...told, ifIndex: portOf.get(told.ifIndex) ?? told.ifIndex }
      : told;
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
  const uplinks = uplinksOf(tables.switch, marks, neighbours, macsOn);
  return {
    name: tables.switch,
    ports,
    truncated: tables.truncated,
    hasTable: tables.forwarding.length > 0,
    vantage: tables.vantage,
    toldAll: (vlan) =>
      tables.truncated === undefined &&
      tables.forwarding.length > 0 &&
      // Results of older versions say it by the VLANs of their entries.
      ((tables.allVlans ?? tables.forwarding.some((entry) => entry.vlan !== undefined)) ||
        (vlan !== undefined && tables.vlans?.includes(vlan) === true) ||
        new Set([...vlans, ...(vlan === undefined ? [] : [vlan])]).size < 2),
    portAt: (ifIndex) => byIndex.get(ifIndex),
    entriesOf: (mac) => entries.get(mac) ?? [],
    macsAt,
    neighbours,
    uplinkAt: (ifIndex) => uplinks.get(ifIndex),
  };
}

type Uplink = { readonly to?: string | undefined; readonly why: string };

function uplinksOf(
  own: string,
  marks: Marks,
  neighbours: SwitchView['neighbours'],
  macsOn: ReadonlyMap<number, ReadonlySet<string>>,
): Map<number, Uplink> {
  const uplinks = new Map<number, Uplink>();
  for (const [ifIndex, macs] of macsOn) {
    const uplink = manyBehind(own, marks, macs);
    if (uplink !== undefined) uplinks.set(ifIndex, uplink);
  }
  for (const { neighbour, port } of neighbours) {
    const to = switchNamed(marks, neighbour);
    if (to === undefined || to === own) continue;
    const uplink = { to, why: `LLDP names ${to} there` };
    uplinks.set(port.ifIndex, uplink);
    if (port.aggregate !== undefined) uplinks.set(port.aggregate, uplink);
  }
  return uplinks;
}

/** Another switch with others behind it, two devices of the plan, or a whole network: no cable of one endpoint ends there. */
function manyBehind(own: string, marks: Marks, macs: ReadonlySet<string>): Uplink | undefined {
  const all = [...macs];
  const others = new Set(all.map((mac) => marks.switchOf.get(mac)).filter((name) => name !== own));
  // The management port of another switch alone is an edge port.
  const [to] = [...others].filter((name) => name !== undefined);
  if (to !== undefined && others.size > 1)
    return { to, why: `addresses of ${to} and of others are behind it` };
  if (macs.size > MANY_MACS) return { why: `${macs.size} addresses are behind it` };
  const devices = new Set(all.flatMap((mac) => marks.deviceOf.get(mac) ?? []));
  return devices.size > 1 ? { why: `${list([...devices], 4)} are behind it` } : undefined;
}

function switchNamed(marks: Marks, neighbour: LldpNeighbour): string | undefined {
  const keys = [neighbour.chassisId.toLowerCase(), ...neighbour.managementAddresses];
  const marked = keys.map((key) => marks.switchOf.get(key)).find((name) => name !== undefined);
  if (marked !== undefined) return marked;
  const { sysName } = neighbour;
  return sysName === undefined
    ? undefined
    : marks.switches.find((device) => namesDevice(device, sysName))?.name;
}

/** `loft-switch-1`, `loft-switch-1.site.example`, or what the plan states as its sysName. */
export function namesDevice(device: Device, sysName: string): boolean {
  const pattern = device.identity.sysName;
  if (pattern !== undefined && pattern !== '') return globMatches(pattern, sysName);
  const name = sysName.toLowerCase();
  return name === device.name.toLowerCase() || name.startsWith(`${device.name.toLowerCase()}.`);
}
