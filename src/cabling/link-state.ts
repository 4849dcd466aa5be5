/** Link up or down, and its speed, as the device's agent and the switch port tell them. */

import type { LinkSighting, LinkStatus, SwitchPort } from '../sighting/types.js';
import type { FoundLink } from './links.js';
import { AGGREGATE } from './port-kind.js';
import type { PortAtSwitch } from './types.js';

const DOWN: ReadonlySet<LinkStatus> = new Set(['down', 'lowerLayerDown', 'notPresent']);

export function stateOf(status: LinkStatus | undefined): 'up' | 'down' | undefined {
  if (status === undefined) return undefined;
  return status === 'up' ? 'up' : DOWN.has(status) ? 'down' : undefined;
}

/** RFC 2863 §3.1.13: dormant, testing and unknown say neither up nor down. Switched off by its settings counts as down. */
export function linkStateOf(link: LinkSighting | undefined): 'up' | 'down' | undefined {
  if (link?.adminStatus === 'down') return 'down';
  return stateOf(link?.operStatus);
}

/** Speed of one end of an up link. */
export interface EndSpeed {
  readonly mbps: number;
  readonly at:
    | { readonly end: 'device'; readonly by: string; readonly port: string }
    | { readonly end: 'switch'; readonly switch: string; readonly port: string };
  readonly vantage: string;
}

/** What the device's own agent says. An aggregated link tells the sum of its members, which is no speed of one; 0 is "not known". */
export function deviceSpeed(found: FoundLink | undefined): EndSpeed | undefined {
  const own = found?.link;
  if (found === undefined || !own?.speedMbps || own.ifType === AGGREGATE || linkStateOf(own) !== 'up')
    return undefined;
  return {
    mbps: own.speedMbps,
    at: { end: 'device', by: found.by, port: nameOfLink(own) },
    vantage: found.vantage,
  };
}

/** What the switch says of the port, or of each member of an aggregation group. */
export function switchSpeeds(
  at: PortAtSwitch | undefined,
  ports: readonly SwitchPort[],
  vantage: string,
): EndSpeed[] {
  if (at === undefined) return [];
  const members =
    at.port.ifType === AGGREGATE ? ports.filter((other) => other.aggregate === at.port.ifIndex) : [at.port];
  return members.flatMap((port) =>
    port.speedMbps && stateOf(port.operStatus) === 'up'
      ? [{ mbps: port.speedMbps, at: { end: 'switch', switch: at.switch, port: port.name }, vantage }]
      : [],
  );
}

export function nameOfLink({ ifName, ifDescr, ifIndex }: LinkSighting): string {
  return ifName ?? ifDescr ?? `${ifIndex}`;
}
