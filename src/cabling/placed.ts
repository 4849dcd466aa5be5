/** Where the cable of an endpoint ends against where the plan has it: what was seen, without a word on what it means. */
import type { Endpoint } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { Cables } from './cables.js';
import { stateOf } from './link-state.js';
import type { FoundLink } from './links.js';
import { hangingAt } from './lldp.js';
import { isPlannedPort, isSamePort, learnedAt, locate, macsOf, type Place } from './locate.js';
import { findPort, type PortMatch } from './port-name.js';
import type { PortAtSwitch } from './types.js';

export interface Placed {
  readonly endpoint: Endpoint;
  readonly place: Place | undefined;
  /** The planned port, where the plan names one and the switch could be read. */
  readonly planned: PortAtSwitch | undefined;
  /** The place is sure not to be the planned one. */
  readonly wrong: boolean;
  /** Heard in another port of the aggregated link that the planned port is part of. */
  readonly inItsGroup: boolean;
  /** The endpoint is seen nowhere, and this is what hangs on the planned port instead. */
  readonly taken: string | undefined;
  /** The device's own agent says that its link is up, or a device was seen at the address. */
  readonly knownUp: boolean;
}

export function placeOf(
  cables: Cables,
  endpoint: Endpoint,
  found: FoundLink | undefined,
  up: boolean,
): Placed {
  const macs = macsOf(cables, endpoint, found?.link);
  const place = endpoint.virtual ? undefined : locate(cables, endpoint, macs);
  const inItsGroup = isInGroup(cables, endpoint, place, macs);
  const planned = plannedPort(cables, endpoint);
  return {
    endpoint,
    place,
    planned,
    taken: place === undefined && planned !== undefined ? takenBy(cables, endpoint, planned) : undefined,
    inItsGroup,
    wrong: !inItsGroup && isWrong(cables, endpoint, place),
    knownUp: up || isSeen(cables, endpoint) || cables.answers(endpoint),
  };
}

/** Another port name that is logged in there, another device by LLDP, or the MAC of another endpoint: one port takes one cable. */
function takenBy(
  cables: Cables,
  endpoint: Endpoint,
  { switch: name, port }: PortAtSwitch,
): string | undefined {
  if (endpoint.wwpn !== undefined) {
    const [other] = cables.fabrics.namesAt(name, port.ifIndex);
    if (other !== undefined)
      return cables.plan.endpoints.find(({ wwpn }) => wwpn === other)?.id ?? `port name ${other}`;
  }
  const hanging = hangingAt(cables, endpoint, { switch: name, port }, new Set());
  if (hanging.kind === 'other') return hanging.name;
  const view = cables.switches.get(name);
  if (view === undefined || view.uplinkAt(port.ifIndex) !== undefined) return undefined;
  const there = [...view.macsAt(port.ifIndex)].flatMap((mac) => indexOf(cables.plan).withMac(mac));
  return there.find(({ id }) => id !== endpoint.id)?.id;
}

/** Another device at its address, by the MAC, tells nothing of its own link. */
function isSeen(cables: Cables, endpoint: Endpoint): boolean {
  const seen = cables.seenMac(endpoint);
  return seen !== undefined && (endpoint.mac === undefined || endpoint.mac === seen);
}

export function matchPlannedPort(cables: Cables, switchName: string, port: string): PortMatch {
  return findPort(cables.switches.get(switchName)?.ports ?? [], port);
}

function plannedPort(cables: Cables, endpoint: Endpoint): PortAtSwitch | undefined {
  if (endpoint.switch === undefined || endpoint.switchPort === undefined) return undefined;
  const match = matchPlannedPort(cables, endpoint.switch, endpoint.switchPort);
  return match.kind === 'one' ? { switch: endpoint.switch, port: match.port } : undefined;
}

/**
 * LLDP hears it in another leg of the group that the planned port is part of: on one switch by the group itself, on two switches where
 * both ports are part of a group and the planned one knows its MAC as well. Nothing may say that something else hangs on the
 * planned leg, and it must have link.
 */
function isInGroup(
  cables: Cables,
  endpoint: Endpoint,
  place: Place | undefined,
  macs: readonly string[],
): boolean {
  const planned = plannedPort(cables, endpoint);
  if (place?.by !== 'LLDP' || planned === undefined || stateOf(planned.port.operStatus) === 'down')
    return false;
  const isGroup =
    place.switch === planned.switch
      ? !isSamePort(place.port, planned.port, 'LLDP') &&
        isSamePort(place.port, planned.port, 'forwarding table')
      : place.port.aggregate !== undefined &&
        planned.port.aggregate !== undefined &&
        macs.some((mac) => isLearnedIn(cables, endpoint, mac, planned));
  return isGroup && hangingAt(cables, endpoint, planned, new Set()).kind !== 'other';
}

function isLearnedIn(
  cables: Cables,
  endpoint: Endpoint,
  mac: string,
  { switch: name, port }: PortAtSwitch,
): boolean {
  return learnedAt(cables, endpoint, mac).some(
    (one) => one.switch === name && isSamePort(one.port, port, 'forwarding table'),
  );
}

/**
 * A place is wrong where the planned switch itself, LLDP or a login shows the endpoint elsewhere, or where the planned switch was
 * read and does not have it, or has no link in the planned port. A planned switch that could not be read may be just behind the port that was seen.
 */
function isWrong(cables: Cables, endpoint: Endpoint, place: Place | undefined): boolean {
  if (place === undefined || endpoint.switch === undefined) return false;
  const planned = cables.switches.get(endpoint.switch);
  if (place.switch !== endpoint.switch) {
    if (place.by !== 'forwarding table') return true;
    if (place.leadsOn?.to === endpoint.switch) return false;
    const vlan = cables.view.networkOf(endpoint)?.vlan;
    return (
      planned?.toldAll(vlan) === true || stateOf(plannedPort(cables, endpoint)?.port.operStatus) === 'down'
    );
  }
  if (planned === undefined || endpoint.switchPort === undefined) return false;
  const match = findPort(planned.ports, endpoint.switchPort);
  if (match.kind !== 'one') return false;
  // A login that names its port by a number alone cannot be held against a port that has a name.
  if (place.port.ifIndex < 0 !== match.port.ifIndex < 0) return false;
  return !isPlannedPort(planned.ports, place.port, endpoint, place.by);
}

/** The planned port has no link, or something else in it, while the endpoint is up: its cable is in another port, whichever that is. */
export function isInAnotherPort({ endpoint, place, planned, taken, knownUp }: Placed): boolean {
  if (place !== undefined || planned === undefined || !knownUp || endpoint.virtual) return false;
  return taken !== undefined || stateOf(planned.port.operStatus) === 'down';
}

/**
 * The port where the cable itself ends. Not one that leads on to it, and not one of another switch while the planned switch,
 * which could not be read, may be what lies behind it.
 */
function edgeOf({ endpoint, place, wrong }: Placed): PortAtSwitch | undefined {
  if (place === undefined || place.leadsOn !== undefined || place.orElse !== undefined) return undefined;
  return endpoint.switch === undefined || endpoint.switch === place.switch || wrong ? place : undefined;
}

/** Where the cable ends: the measured port, else the planned one while nothing speaks against it. */
export function endOf(placed: Placed): PortAtSwitch | undefined {
  if (placed.wrong || isInAnotherPort(placed)) return edgeOf(placed);
  return edgeOf(placed) ?? (placed.taken === undefined ? placed.planned : undefined);
}

export function measuredSwitchOf(cables: Cables, placed: Placed): string | undefined {
  const edge = edgeOf(placed);
  if (edge !== undefined) return edge.switch;
  // Behind a link to a switch that could not be read: that switch it is. One that was read would show the port itself.
  const to = placed.place?.leadsOn?.to;
  const vlan = cables.view.networkOf(placed.endpoint)?.vlan;
  return to !== undefined && cables.switches.get(to)?.toldAll(vlan) !== true ? to : undefined;
}

/** The other endpoint that sits in this one's planned port while this one sits in its. */
export function partnerOf({ endpoint, place, planned }: Placed, all: readonly Placed[]): string | undefined {
  if (place === undefined || planned === undefined || place.leadsOn !== undefined) return undefined;
  const same = (at: Place, other: PortAtSwitch) =>
    at.switch === other.switch && isSamePort(at.port, other.port, at.by);
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
