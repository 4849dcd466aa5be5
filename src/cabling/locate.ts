/** In which port of which switch the cable of an endpoint ends, as the switches tell it. */
import type { Endpoint } from '../plan/model.js';
import type { LinkSighting, SwitchPort } from '../sighting/types.js';
import type { Cables } from './cables.js';
import { findNeighbours, type Heard, type HeardAt } from './lldp.js';
import { findPort, sayPort } from './port-name.js';
import type { PortAtSwitch } from './types.js';

export interface Place extends PortAtSwitch {
  /** The MAC, or the Fibre Channel port name, that shows it. */
  readonly mac: string;
  readonly by: 'LLDP' | 'forwarding table' | 'fabric login';
  /** What the switch told, in words: `loft-switch: port13 hears vault-1-a by LLDP, its port data1`. */
  readonly told: string;
  /** From where the switch was asked. */
  readonly vantage: string;
  /** The cable does not end here: this port leads on. */
  readonly leadsOn?: { readonly to?: string | undefined; readonly why: string } | undefined;
  /** Other edge ports that may be meant as well. */
  readonly orElse?: readonly PortAtSwitch[] | undefined;
}

/** MACs that may show where the endpoint is, the surest first: planned, told by the device's agent, seen at its address. */
export function macsOf(cables: Cables, endpoint: Endpoint, link: LinkSighting | undefined): string[] {
  const macs = [endpoint.mac, link?.mac, cables.seenMac(endpoint)];
  return [...new Set(macs.flatMap((mac) => (mac === undefined || mac === '' ? [] : [mac])))];
}

/** A login, and LLDP, are told by the device at the other end of the cable itself, so they go before any forwarding table. */
export function locate(cables: Cables, endpoint: Endpoint, macs: readonly string[]): Place | undefined {
  const login = locateByLogin(cables, endpoint);
  if (login !== undefined) return login;
  const neighbours = findNeighbours(cables, endpoint, macs);
  if (neighbours !== undefined) return nearestHeard(cables, endpoint, neighbours);
  for (const mac of macs) {
    const place = locateByForwarding(cables, endpoint, mac);
    if (place !== undefined) return place;
  }
  return undefined;
}

function locateByLogin(cables: Cables, endpoint: Endpoint): Place | undefined {
  const { wwpn } = endpoint;
  const logins = wwpn === undefined ? [] : cables.fabrics.at(wwpn);
  const planned = logins.find(
    (login) =>
      login.switch === endpoint.switch &&
      isPlannedPort(cables.switches.get(login.switch)?.ports ?? [], login.port, endpoint, 'fabric login'),
  );
  const login = planned ?? logins[0];
  if (wwpn === undefined || login === undefined) return undefined;
  const port = cables.switches.get(login.switch)?.portAt(login.port.ifIndex) ?? login.port;
  return {
    switch: login.switch,
    port,
    mac: wwpn,
    by: 'fabric login',
    told: `${login.switch}: ${wwpn} is logged in at ${sayPort(port.name)}`,
    vantage: login.vantage,
  };
}

/** Heard on several ports, as an aggregated link is: in the planned one, else in one of its group, else in the first. */
function nearestHeard(cables: Cables, endpoint: Endpoint, { heard, mac }: HeardAt): Place | undefined {
  const ports = (one: Heard) => cables.switches.get(one.switch)?.ports ?? [];
  const onPlanned = heard.filter((one) => one.switch === endpoint.switch);
  const chosen =
    onPlanned.find((one) => isPlannedPort(ports(one), one.port, endpoint, 'LLDP')) ??
    onPlanned.find((one) => isPlannedPort(ports(one), one.port, endpoint, 'forwarding table')) ??
    heard[0];
  if (chosen === undefined) return undefined;
  return {
    switch: chosen.switch,
    port: chosen.port,
    mac,
    by: 'LLDP',
    told: hearing(chosen),
    vantage: cables.switches.get(chosen.switch)?.vantage ?? '',
  };
}

function hearing({ switch: name, port, neighbour }: Heard): string {
  const { sysName, chassisId, portId, portDescription } = neighbour;
  const far = [...new Set([portDescription, portId])].filter((text) => text !== undefined && text !== '');
  return `${name}: ${sayPort(port.name)} hears ${sysName ?? chassisId} by LLDP, its port ${far.join(', ')}`;
}

/** Ports that one MAC was learned at, in the VLAN of the endpoint where the tables tell VLANs. */
export function learnedAt(cables: Cables, endpoint: Endpoint, mac: string) {
  const vlan = cables.view.networkOf(endpoint)?.vlan;
  return [...cables.switches.values()].flatMap((one) => {
    const all = one.entriesOf(mac);
    const inVlan = all.filter(
      (entry) => entry.vlan === undefined || vlan === undefined || entry.vlan === vlan,
    );
    const ports = new Set((inVlan.length > 0 ? inVlan : all).map((entry) => entry.ifIndex));
    return [...ports].flatMap((ifIndex) => {
      const port = one.portAt(ifIndex);
      if (port === undefined) return [];
      const uplink = one.uplinkAt(ifIndex);
      // A link to a switch is no uplink for the ports of that switch itself.
      const leadsOn = uplink?.to === endpoint.device ? undefined : uplink;
      return [{ view: one, switch: one.name, port, leadsOn, behind: one.macsAt(ifIndex).size }];
    });
  });
}

function locateByForwarding(cables: Cables, endpoint: Endpoint, mac: string): Place | undefined {
  const candidates = learnedAt(cables, endpoint, mac);
  const planned = candidates.find(
    (c) => c.switch === endpoint.switch && isPlannedPort(c.view.ports, c.port, endpoint, 'forwarding table'),
  );
  const edges = candidates.filter((c) => c.leadsOn === undefined).sort((a, b) => a.behind - b.behind);
  const [edge, ...others] = edges;
  const chosen = planned ?? edge ?? candidates.find((c) => c.switch === endpoint.switch) ?? candidates[0];
  if (chosen === undefined) return undefined;
  const orElse =
    chosen === planned
      ? []
      : others
          .filter((other) => other.behind === edge?.behind)
          .map(({ switch: s, port }) => ({ switch: s, port }));
  return {
    switch: chosen.switch,
    port: chosen.port,
    mac,
    by: 'forwarding table',
    told: `${chosen.switch}: ${mac} is learned on ${sayPort(chosen.port.name)}`,
    vantage: chosen.view.vantage,
    ...(chosen === planned || chosen.leadsOn === undefined ? {} : { leadsOn: chosen.leadsOn }),
    ...(orElse.length === 0 ? {} : { orElse }),
  };
}

/**
 * The port itself. A forwarding table tells only the aggregation group (IEEE 802.3ad, ifType 161), so there the group
 * stands for its members and a member for its group; LLDP tells the member.
 */
export function isPlannedPort(
  ports: readonly SwitchPort[],
  seen: SwitchPort,
  endpoint: Endpoint,
  by: Place['by'],
): boolean {
  if (endpoint.switchPort === undefined) return true;
  const planned = findPort(ports, endpoint.switchPort);
  return planned.kind === 'one' && isSamePort(seen, planned.port, by);
}

export function isSamePort(seen: SwitchPort, planned: SwitchPort, by: Place['by']): boolean {
  if (seen.ifIndex === planned.ifIndex || seen.aggregate === planned.ifIndex) return true;
  if (by !== 'forwarding table') return false;
  return (
    planned.aggregate === seen.ifIndex ||
    (seen.aggregate !== undefined && seen.aggregate === planned.aggregate)
  );
}
