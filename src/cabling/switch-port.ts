/** Where the cable ends against where the plan says. */

import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { list } from '../text/sentence.js';
import type { Ground } from './ground.js';
import { stateOf } from './link-state.js';
import { isPlannedPort, isSameHole, type Place } from './locate.js';
import { findPort, sayPort } from './port-name.js';
import { type Hole, NOTHING, type Observed } from './types.js';

export interface Placed {
  readonly endpoint: Endpoint;
  readonly place: Place | undefined;
  /** The planned hole, where the plan names one and the switch could be read. */
  readonly planned: Hole | undefined;
  /** The place is sure not to be the planned one. */
  readonly wrong: boolean;
  /** The device's own agent says that its link is up, or a box was seen at the address. */
  readonly knownUp: boolean;
}

export function plannedHole(ground: Ground, endpoint: Endpoint): Hole | undefined {
  if (endpoint.switch === undefined || endpoint.switchPort === undefined) return undefined;
  const match = findPort(ground.switches.get(endpoint.switch)?.ports ?? [], endpoint.switchPort);
  return match.kind === 'one' ? { switch: endpoint.switch, port: match.port } : undefined;
}

/**
 * A place is wrong where the planned switch itself, or LLDP, shows the endpoint elsewhere, or where the planned switch was
 * read and does not have it, or has no link in the planned port. A planned switch that could not be read may be just behind the port that was seen.
 */
export function isWrong(ground: Ground, endpoint: Endpoint, place: Place | undefined): boolean {
  if (place === undefined || endpoint.switch === undefined) return false;
  const planned = ground.switches.get(endpoint.switch);
  if (place.switch !== endpoint.switch) {
    if (place.by === 'LLDP') return true;
    if (place.leadsOn?.to === endpoint.switch) return false;
    return planned?.toldAll === true || stateOf(plannedHole(ground, endpoint)?.port.operStatus) === 'down';
  }
  if (planned === undefined || endpoint.switchPort === undefined) return false;
  const known = findPort(planned.ports, endpoint.switchPort).kind === 'one';
  return known && !isPlannedPort(planned.ports, place.port, endpoint, place.by);
}

export function wrongSwitchPort(ground: Ground, placed: Placed, all: readonly Placed[]): Observed {
  const { endpoint, place, wrong } = placed;
  if (endpoint.switch === undefined) return NOTHING;
  if (!wrong || place === undefined) return { ...NOTHING, reasons: reasonsFor(ground, placed) };
  const swappedWith = partnerOf(placed, all);
  return observed(
    endpoint,
    describePlace(place),
    place.by === 'LLDP' ? `LLDP at ${place.switch}` : `forwarding table of ${place.switch}, MAC ${place.mac}`,
    swappedWith,
    place.told,
  );
}

/** The planned port has no link while the endpoint is up: its cable is in another hole, whichever that is. */
export function notInPlannedPort({ endpoint, place, planned, knownUp }: Placed): Observed | undefined {
  if (place !== undefined || planned === undefined || !knownUp) return undefined;
  if (stateOf(planned.port.operStatus) !== 'down') return undefined;
  return observed(
    endpoint,
    'another port, not identified',
    `${planned.switch} says that ${planned.port.name} has no link, and the endpoint is up`,
    undefined,
  );
}

function observed(
  endpoint: Endpoint,
  measured: string,
  by: string,
  swappedWith: string | undefined,
  evidence: string = by,
): Observed {
  const planned =
    endpoint.switchPort === undefined
      ? `${endpoint.switch}`
      : `${endpoint.switch} ${sayPort(endpoint.switchPort)}`;
  const swap = swappedWith === undefined ? '' : `, swapped with ${swappedWith}`;
  return {
    reasons: [],
    differences: [{ field: 'switch port', planned, measured: `${measured}${swap}`, evidence }],
    findings: [
      finding(
        'wrong-switch-port',
        endpoint.id,
        { endpoint: endpoint.id, planned, measured, by, swappedWith },
        { evidence: [evidence], about: [endpoint.id, ...(swappedWith === undefined ? [] : [swappedWith])] },
      ),
    ],
  };
}

function describePlace(place: Place): string {
  const name = (hole: Hole) => `${hole.switch} ${sayPort(hole.port.name)}`;
  if (place.leadsOn !== undefined) {
    const { to, why } = place.leadsOn;
    return `${name(place)} or beyond it (${to === undefined ? why : `it leads to ${to}`})`;
  }
  return list([place, ...(place.orElse ?? [])].map(name), 4, 'or');
}

/** The other endpoint that sits in this one's planned hole while this one sits in its. */
function partnerOf({ endpoint, place, planned }: Placed, all: readonly Placed[]): string | undefined {
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

function reasonsFor(ground: Ground, { endpoint, place }: Placed): string[] {
  const name = endpoint.switch ?? '';
  const tables = ground.switches.get(name);
  if (tables === undefined || (tables.ports.length === 0 && !tables.toldAll)) return [];
  if (endpoint.switchPort !== undefined) {
    const match = findPort(tables.ports, endpoint.switchPort);
    if (match.kind === 'none')
      return [`${name} has no port called ${endpoint.switchPort}, so the switch port could not be compared`];
    if (match.kind === 'several') {
      const names = list(
        match.ports.map((port) => port.name),
        4,
        'or',
      );
      return [`${endpoint.switchPort} on ${name} may be ${names}, so the switch port could not be compared`];
    }
  }
  if (place !== undefined || endpoint.media === 'fc') return [];
  if (tables.truncated !== undefined)
    return [`${name} could be read in part only (${tables.truncated}): the switch port is not proven`];
  return [
    tables.toldAll
      ? `${name} has not learned its MAC: the switch port is not proven`
      : `${name} tells no forwarding table: the switch port is not proven`,
  ];
}
