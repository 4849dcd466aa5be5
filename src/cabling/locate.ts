/** In which port of which switch the cable of an endpoint ends, as the switches tell it. */
import type { Endpoint } from '../plan/model.js';
import type { LinkSighting, SwitchPort } from '../sighting/types.js';
import type { Ground } from './ground.js';
import { findNeighbour, type Heard } from './lldp.js';
import { findPort, sayPort } from './port-name.js';
import type { Hole } from './types.js';

export interface Place extends Hole {
  readonly mac: string;
  readonly by: 'LLDP' | 'forwarding table';
  /** What the switch told, in words: `loft-switch: port13 hears vault-1-a by LLDP, its port data1`. */
  readonly told: string;
  /** The cable does not end here: this port leads on. */
  readonly leadsOn?: { readonly to?: string | undefined; readonly why: string } | undefined;
  /** Other edge ports that may be meant as well. */
  readonly orElse?: readonly Hole[] | undefined;
}

/** MACs that may show where the endpoint is, the surest first: planned, told by the device's agent, seen at its address. */
export function macsOf(ground: Ground, endpoint: Endpoint, link: LinkSighting | undefined): string[] {
  const macs = [endpoint.mac, link?.mac, ground.seenMac(endpoint)];
  return [...new Set(macs.flatMap((mac) => (mac === undefined || mac === '' ? [] : [mac])))];
}

/** LLDP is told by the box at the other end of the cable itself, so it goes before any forwarding table. */
export function locate(ground: Ground, endpoint: Endpoint, macs: readonly string[]): Place | undefined {
  const neighbour = findNeighbour(ground, endpoint, macs);
  if (neighbour !== undefined) {
    const { heard, mac } = neighbour;
    return { switch: heard.switch, port: heard.port, mac, by: 'LLDP', told: hearing(heard) };
  }
  for (const mac of macs) {
    const place = locateByForwarding(ground, endpoint, mac);
    if (place !== undefined) return place;
  }
  return undefined;
}

function hearing({ switch: name, port, neighbour }: Heard): string {
  const { sysName, chassisId, portId, portDescription } = neighbour;
  const far = [...new Set([portDescription, portId])].filter((text) => text !== undefined && text !== '');
  return `${name}: ${sayPort(port.name)} hears ${sysName ?? chassisId} by LLDP, its port ${far.join(', ')}`;
}

function locateByForwarding(ground: Ground, endpoint: Endpoint, mac: string): Place | undefined {
  const vlan = ground.view.networkOf(endpoint)?.vlan;
  const candidates = [...ground.switches.values()].flatMap((one) => {
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
  return planned.kind === 'one' && isSameHole(seen, planned.port, by);
}

export function isSameHole(seen: SwitchPort, planned: SwitchPort, by: Place['by']): boolean {
  if (seen.ifIndex === planned.ifIndex || seen.aggregate === planned.ifIndex) return true;
  if (by === 'LLDP') return false;
  return (
    planned.aggregate === seen.ifIndex ||
    (seen.aggregate !== undefined && seen.aggregate === planned.aggregate)
  );
}
