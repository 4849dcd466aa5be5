/** LLDP neighbours that the plan's switches hear, arranged for look-up (IEEE 802.1AB). */

import { globMatches } from '../identity/glob.js';
import type { Endpoint } from '../plan/model.js';
import type { LldpNeighbour } from '../sighting/types.js';
import type { Ground } from './ground.js';
import { namesDevice, type SwitchView } from './switches.js';
import type { Hole } from './types.js';

export interface Heard extends Hole {
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

/**
 * The neighbour that is this endpoint, with the MAC that shows it where one does: its port id is the MAC; or it calls
 * itself and its port as the plan does; or its chassis id is the MAC, and that chassis is heard on one port only and
 * names no other port of the plan.
 */
export function findNeighbour(
  ground: Ground,
  endpoint: Endpoint,
  macs: readonly string[],
): { readonly heard: Heard; readonly mac: string } | undefined {
  const { byChassis, byPort } = ground.neighbours;
  for (const mac of macs) {
    const [heard] = byPort.get(mac) ?? [];
    if (heard !== undefined) return { heard, mac };
  }
  const named = (byPort.get(portName(endpoint)) ?? []).find(({ neighbour }) =>
    isNamed(ground, endpoint, neighbour),
  );
  if (named !== undefined) return { heard: named, mac: macs[0] ?? '' };
  for (const mac of macs) {
    const [heard, ...more] = byChassis.get(mac) ?? [];
    if (heard === undefined || more.length > 0 || heard.neighbour.portIdSubtype === 'macAddress') continue;
    const said = [heard.neighbour.portId, heard.neighbour.portDescription].map((text) => text?.toLowerCase());
    const isOther = ground
      .endpointsOf(endpoint.device)
      .some((other) => other.id !== endpoint.id && said.includes(portName(other)));
    if (!isOther) return { heard, mac };
  }
  return undefined;
}

function portName(endpoint: Endpoint): string {
  return (endpoint.interface ?? endpoint.port).toLowerCase();
}

/** Two controllers of one device are told apart only by the sysName that the plan states for each. */
function isNamed(ground: Ground, endpoint: Endpoint, { sysName }: LldpNeighbour): boolean {
  const device = ground.device(endpoint.device);
  if (sysName === undefined || device === undefined) return false;
  if (endpoint.controller === undefined) return namesDevice(device, sysName);
  const pattern = device.controllers[endpoint.controller]?.sysName;
  return pattern !== undefined && pattern !== '' && globMatches(pattern, sysName);
}
