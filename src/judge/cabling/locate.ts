/** In which port of which switch the cable of an endpoint ends, as the switches tell it. */
import type { Endpoint } from '../../plan/model.js';
import type { LinkSighting, LldpNeighbour, SwitchPort } from '../../sighting/types.js';
import { globMatches } from '../identity/glob.js';
import type { Ground } from './ground.js';
import { findPort } from './port-name.js';
import { namesDevice } from './switches.js';
import type { Hole } from './types.js';

export interface Place extends Hole {
  readonly mac: string;
  readonly by: 'LLDP' | 'forwarding table';
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

export function locate(ground: Ground, endpoint: Endpoint, macs: readonly string[]): Place | undefined {
  const byNeighbour = locateByLldp(ground, endpoint, macs);
  if (byNeighbour !== undefined) return byNeighbour;
  for (const mac of macs) {
    const place = locateByForwarding(ground, endpoint, mac);
    if (place !== undefined) return place;
  }
  return undefined;
}

function locateByLldp(ground: Ground, endpoint: Endpoint, macs: readonly string[]): Place | undefined {
  const heard = [...ground.switches.values()].flatMap((one) =>
    one.neighbours.map(({ neighbour, port }) => ({ switch: one.name, neighbour, port })),
  );
  const chassisCount = (chassisId: string) => heard.filter((h) => h.neighbour.chassisId === chassisId).length;
  const match =
    heard.find(({ neighbour }) => macs.includes(neighbour.portId.toLowerCase())) ??
    heard.find(({ neighbour }) => isNamed(ground, endpoint, neighbour)) ??
    heard.find(
      ({ neighbour }) =>
        macs.includes(neighbour.chassisId.toLowerCase()) &&
        neighbour.portIdSubtype !== 'macAddress' &&
        chassisCount(neighbour.chassisId) === 1 &&
        !ground.plan.endpoints.some(
          (e) => e.device === endpoint.device && e.id !== endpoint.id && namesPort(e, neighbour),
        ),
    );
  if (match === undefined) return undefined;
  const { portId, chassisId } = match.neighbour;
  const mac = macs.find((one) => one === portId.toLowerCase() || one === chassisId.toLowerCase()) ?? macs[0];
  return { switch: match.switch, port: match.port, mac: mac ?? '', by: 'LLDP' };
}

/** The neighbour calls itself by the name the plan gives this controller, and its port by the name of this port. */
function isNamed(ground: Ground, endpoint: Endpoint, neighbour: LldpNeighbour): boolean {
  const { sysName } = neighbour;
  const device = ground.plan.devices.find(({ name }) => name === endpoint.device);
  if (sysName === undefined || device === undefined || !namesPort(endpoint, neighbour)) return false;
  if (endpoint.controller === undefined) return namesDevice(device, sysName);
  const pattern = device.controllers[endpoint.controller]?.sysName;
  return pattern !== undefined && pattern !== '' && globMatches(pattern, sysName);
}

function namesPort(endpoint: Endpoint, { portId, portDescription }: LldpNeighbour): boolean {
  const names = [endpoint.interface ?? endpoint.port].map((name) => name.toLowerCase());
  return [portId, portDescription].some((text) => text !== undefined && names.includes(text.toLowerCase()));
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
