/** Where the cable of an endpoint ends against where the plan has it: what was seen, without a word on what it means. */
import type { Endpoint } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { Ground } from './ground.js';
import { stateOf } from './link-state.js';
import type { FoundLink } from './links.js';
import { hangingAt } from './lldp.js';
import { isPlannedPort, isSameHole, learnedAt, locate, macsOf, type Place } from './locate.js';
import { findPort, type PortMatch } from './port-name.js';
import type { Hole } from './types.js';

export interface Placed {
  readonly endpoint: Endpoint;
  readonly place: Place | undefined;
  /** The planned hole, where the plan names one and the switch could be read. */
  readonly planned: Hole | undefined;
  /** The place is sure not to be the planned one. */
  readonly wrong: boolean;
  /** Heard in another port of the aggregated link that the planned port is part of. */
  readonly inItsGroup: boolean;
  /** The endpoint is seen nowhere, and this is what hangs on the planned port instead. */
  readonly taken: string | undefined;
  /** The device's own agent says that its link is up, or a box was seen at the address. */
  readonly knownUp: boolean;
}

export function placeOf(
  ground: Ground,
  endpoint: Endpoint,
  found: FoundLink | undefined,
  up: boolean,
): Placed {
  const macs = macsOf(ground, endpoint, found?.link);
  const place = endpoint.virtual ? undefined : locate(ground, endpoint, macs);
  const inItsGroup = isInGroup(ground, endpoint, place, macs);
  const planned = plannedHole(ground, endpoint);
  return {
    endpoint,
    place,
    planned,
    taken: place === undefined && planned !== undefined ? takenBy(ground, endpoint, planned) : undefined,
    inItsGroup,
    wrong: !inItsGroup && isWrong(ground, endpoint, place),
    knownUp: up || isSeen(ground, endpoint) || ground.answers(endpoint),
  };
}

/** Another port name that is logged in there, another device by LLDP, or the MAC of another endpoint: one port takes one cable. */
function takenBy(ground: Ground, endpoint: Endpoint, { switch: name, port }: Hole): string | undefined {
  if (endpoint.wwpn !== undefined) {
    const [other] = ground.fabrics.namesAt(name, port.ifIndex);
    if (other !== undefined)
      return ground.plan.endpoints.find(({ wwpn }) => wwpn === other)?.id ?? `port name ${other}`;
  }
  const hanging = hangingAt(ground, endpoint, { switch: name, port }, new Set());
  if (hanging.kind === 'other') return hanging.name;
  const view = ground.switches.get(name);
  if (view === undefined || view.uplinkAt(port.ifIndex) !== undefined) return undefined;
  const there = [...view.macsAt(port.ifIndex)].flatMap((mac) => indexOf(ground.plan).withMac(mac));
  return there.find(({ id }) => id !== endpoint.id)?.id;
}

/** Another box at its address, by the MAC, tells nothing of its own link. */
function isSeen(ground: Ground, endpoint: Endpoint): boolean {
  const seen = ground.seenMac(endpoint);
  return seen !== undefined && (endpoint.mac === undefined || endpoint.mac === seen);
}

export function plannedPort(ground: Ground, switchName: string, port: string): PortMatch {
  return findPort(ground.switches.get(switchName)?.ports ?? [], port);
}

export function plannedHole(ground: Ground, endpoint: Endpoint): Hole | undefined {
  if (endpoint.switch === undefined || endpoint.switchPort === undefined) return undefined;
  const match = plannedPort(ground, endpoint.switch, endpoint.switchPort);
  return match.kind === 'one' ? { switch: endpoint.switch, port: match.port } : undefined;
}

/**
 * LLDP hears it in another leg of the group that the planned port is part of: on one switch by the group itself, on two switches where
 * both ports are part of a group and the planned one knows its MAC as well. Nothing may say that something else hangs on the
 * planned leg, and it must have link.
 */
function isInGroup(
  ground: Ground,
  endpoint: Endpoint,
  place: Place | undefined,
  macs: readonly string[],
): boolean {
  const planned = plannedHole(ground, endpoint);
  if (place?.by !== 'LLDP' || planned === undefined || stateOf(planned.port.operStatus) === 'down')
    return false;
  const isGroup =
    place.switch === planned.switch
      ? !isSameHole(place.port, planned.port, 'LLDP') &&
        isSameHole(place.port, planned.port, 'forwarding table')
      : place.port.aggregate !== undefined &&
        planned.port.aggregate !== undefined &&
        macs.some((mac) => isLearnedIn(ground, endpoint, mac, planned));
  return isGroup && hangingAt(ground, endpoint, planned, new Set()).kind !== 'other';
}

function isLearnedIn(ground: Ground, endpoint: Endpoint, mac: string, { switch: name, port }: Hole): boolean {
  return learnedAt(ground, endpoint, mac).some(
    (one) => one.switch === name && isSameHole(one.port, port, 'forwarding table'),
  );
}

/**
 * A place is wrong where the planned switch itself, LLDP or a login shows the endpoint elsewhere, or where the planned switch was
 * read and does not have it, or has no link in the planned port. A planned switch that could not be read may be just behind the port that was seen.
 */
function isWrong(ground: Ground, endpoint: Endpoint, place: Place | undefined): boolean {
  if (place === undefined || endpoint.switch === undefined) return false;
  const planned = ground.switches.get(endpoint.switch);
  if (place.switch !== endpoint.switch) {
    if (place.by !== 'forwarding table') return true;
    if (place.leadsOn?.to === endpoint.switch) return false;
    const vlan = ground.view.networkOf(endpoint)?.vlan;
    return (
      planned?.toldAll(vlan) === true || stateOf(plannedHole(ground, endpoint)?.port.operStatus) === 'down'
    );
  }
  if (planned === undefined || endpoint.switchPort === undefined) return false;
  const match = findPort(planned.ports, endpoint.switchPort);
  if (match.kind !== 'one') return false;
  // A login that names its port by a number alone cannot be held against a port that has a name.
  if (place.port.ifIndex < 0 !== match.port.ifIndex < 0) return false;
  return !isPlannedPort(planned.ports, place.port, endpoint, place.by);
}

/** The planned port has no link, or something else in it, while the endpoint is up: its cable is in another hole, whichever that is. */
export function isInAnotherHole({ endpoint, place, planned, taken, knownUp }: Placed): boolean {
  if (place !== undefined || planned === undefined || !knownUp || endpoint.virtual) return false;
  return taken !== undefined || stateOf(planned.port.operStatus) === 'down';
}

/**
 * The port where the cable itself ends. Not one that leads on to it, and not one of another switch while the planned switch,
 * which could not be read, may be what lies behind it.
 */
export function edgeOf({ endpoint, place, wrong }: Placed): Hole | undefined {
  if (place === undefined || place.leadsOn !== undefined || place.orElse !== undefined) return undefined;
  return endpoint.switch === undefined || endpoint.switch === place.switch || wrong ? place : undefined;
}

/** Where the cable ends: the measured port, else the planned one while nothing speaks against it. */
export function endOf(placed: Placed): Hole | undefined {
  if (placed.wrong || isInAnotherHole(placed)) return edgeOf(placed);
  return edgeOf(placed) ?? (placed.taken === undefined ? placed.planned : undefined);
}

export function measuredSwitchOf(ground: Ground, placed: Placed): string | undefined {
  const edge = edgeOf(placed);
  if (edge !== undefined) return edge.switch;
  // Behind a link to a switch that could not be read: that switch it is. One that was read would show the port itself.
  const to = placed.place?.leadsOn?.to;
  const vlan = ground.view.networkOf(placed.endpoint)?.vlan;
  return to !== undefined && ground.switches.get(to)?.toldAll(vlan) !== true ? to : undefined;
}

/** The other endpoint that sits in this one's planned hole while this one sits in its. */
export function partnerOf({ endpoint, place, planned }: Placed, all: readonly Placed[]): string | undefined {
  if (place === undefined || planned === undefined || place.leadsOn !== undefined) return undefined;
  const same = (at: Place, hole: Hole) => at.switch === hole.switch && isSameHole(at.port, hole.port, at.by);
  return all.find(
    (other) =>
      other.endpoint.id !== endpoint.id &&
      other.wrong &&
      other.place !== undefined &&
      other.place.leadsOn === undefined &&
      other.planned !== undefined &&
      same(place, other.planned) &&
      same(other.place, planned),
  )?.endpoint.id;
}
