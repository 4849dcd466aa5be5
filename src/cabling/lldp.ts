/** LLDP neighbours that the plan's switches hear, arranged for look-up (IEEE 802.1AB). */

import { globMatches } from '../identity/glob.js';
import type { Endpoint } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { LldpNeighbour } from '../sighting/types.js';
import type { Cables } from './cables.js';
import { namesDevice, type SwitchView } from './switches.js';
import type { PortAtSwitch } from './types.js';

export interface Heard extends PortAtSwitch {
  readonly neighbour: LldpNeighbour;
}

export interface Neighbours {
  readonly byChassis: ReadonlyMap<string, readonly Heard[]>;
  /** By port id and by port description, lower case. */
  readonly byPort: ReadonlyMap<string, readonly Heard[]>;
}

export function neighboursOf(switches: Iterable<SwitchView>): Neighbours {
  const byChassis = new Map<string, Heard[]>();
  const byPort = new Map<string, Heard[]>();
  const put = (map: Map<string, Heard[]>, key: string, heard: Heard) => {
    const known = map.get(key.toLowerCase());
    if (known === undefined) map.set(key.toLowerCase(), [heard]);
    else known.push(heard);
  };
  for (const { name, neighbours } of switches) {
    for (const { neighbour, port } of neighbours) {
      const heard = { switch: name, port, neighbour };
      put(byChassis, neighbour.chassisId, heard);
      for (const text of new Set([neighbour.portId, neighbour.portDescription ?? '']))
        if (text !== '') put(byPort, text, heard);
    }
  }
  return { byChassis, byPort };
}

/** Every place where this endpoint is heard, with the MAC that shows it where one does. */
export interface HeardAt {
  readonly heard: readonly Heard[];
  readonly mac: string;
}

/**
 * The neighbours that are this endpoint: its port id is the MAC; or it calls itself and its port as the plan does; or its
 * chassis id is the MAC, and that chassis is heard on one port only and names no other port of the plan.
 */
export function findNeighbours(
  cables: Cables,
  endpoint: Endpoint,
  macs: readonly string[],
): HeardAt | undefined {
  const { byChassis, byPort } = cables.neighbours;
  for (const mac of macs) {
    const heard = byPort.get(mac) ?? [];
    if (heard.length > 0) return { heard, mac };
  }
  const named = (byPort.get(portName(endpoint)) ?? []).filter(({ neighbour }) =>
    isNamed(cables, endpoint, neighbour),
  );
  if (named.length > 0) return { heard: named, mac: macs[0] ?? '' };
  for (const mac of macs) {
    const [heard, ...more] = byChassis.get(mac) ?? [];
    if (heard === undefined || more.length > 0 || heard.neighbour.portIdSubtype === 'macAddress') continue;
    if (otherEndpoint(cables, endpoint, heard.neighbour) === undefined) return { heard: [heard], mac };
  }
  return undefined;
}

/** What hangs on a port by its LLDP: this endpoint's device, another device or endpoint of the plan, or nobody can tell. */
export type Hanging =
  | { readonly kind: 'this-device' }
  | { readonly kind: 'other'; readonly name: string }
  | { readonly kind: 'unknown' };

/** `chassis`: chassis ids under which the endpoint's device is heard elsewhere (the legs of an aggregated link share one). */
export function hangingAt(
  cables: Cables,
  endpoint: Endpoint,
  at: PortAtSwitch,
  chassis: ReadonlySet<string>,
): Hanging {
  const here = cables.switches
    .get(at.switch)
    ?.neighbours.filter(({ port }) => port.ifIndex === at.port.ifIndex);
  let found: Hanging = { kind: 'unknown' };
  for (const { neighbour } of here ?? []) {
    const other = otherEndpoint(cables, endpoint, neighbour) ?? otherDevice(cables, endpoint, neighbour);
    if (other !== undefined) return { kind: 'other', name: other };
    if (chassis.has(neighbour.chassisId.toLowerCase()) || namesBox(cables, endpoint, neighbour))
      found = { kind: 'this-device' };
  }
  return found;
}

/** The neighbour says that it is another endpoint of the plan: by a planned MAC as its port id, or by its device and the port's name. */
function otherEndpoint(cables: Cables, endpoint: Endpoint, neighbour: LldpNeighbour): string | undefined {
  const said = [neighbour.portId, neighbour.portDescription].flatMap((text) => text?.toLowerCase() ?? []);
  const byMac = said.flatMap((text) => indexOf(cables.plan).withMac(text));
  if (byMac.some(({ id }) => id === endpoint.id)) return undefined;
  if (byMac[0] !== undefined) return byMac[0].id;
  if (said.includes(portName(endpoint))) return undefined;
  return cables.endpointsOf(endpoint.device).find(
    (other) =>
      other.id !== endpoint.id &&
      said.includes(portName(other)) &&
      // The other controller may have a port of that name, too: then the device that speaks tells which.
      (other.controller === endpoint.controller || !isNamed(cables, endpoint, neighbour)),
  )?.id;
}

function otherDevice(cables: Cables, endpoint: Endpoint, { sysName }: LldpNeighbour): string | undefined {
  if (sysName === undefined || sysName === '') return undefined;
  const own = cables.device(endpoint.device);
  if (own !== undefined && namesDevice(own, sysName)) return undefined;
  for (const [controller, identity] of Object.entries(own?.controllers ?? {})) {
    if (identity.sysName === undefined || identity.sysName === '' || !globMatches(identity.sysName, sysName))
      continue;
    return endpoint.controller === undefined || controller === endpoint.controller
      ? undefined
      : `${endpoint.device}/${controller}`;
  }
  return cables.plan.devices.find((device) => device.name !== endpoint.device && namesDevice(device, sysName))
    ?.name;
}

function portName(endpoint: Endpoint): string {
  return (endpoint.interface ?? endpoint.port).toLowerCase();
}

/** Two controllers of one device are told apart only by the sysName that the plan states for each. */
function isNamed(cables: Cables, endpoint: Endpoint, { sysName }: LldpNeighbour): boolean {
  const device = cables.device(endpoint.device);
  if (sysName === undefined || device === undefined) return false;
  if (endpoint.controller === undefined) return namesDevice(device, sysName);
  const pattern = device.controllers[endpoint.controller]?.sysName;
  return pattern !== undefined && pattern !== '' && globMatches(pattern, sysName);
}

/** The device as the plan calls it, controllers told apart or not. */
function namesBox(cables: Cables, endpoint: Endpoint, neighbour: LldpNeighbour): boolean {
  const device = cables.device(endpoint.device);
  const { sysName } = neighbour;
  if (sysName === undefined || sysName === '' || device === undefined) return false;
  return isNamed(cables, endpoint, neighbour) || namesDevice(device, sysName);
}
