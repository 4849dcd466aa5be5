/** Link up or down, and its speed, from the device's agent and from the switch port. */

import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { formatSpeed } from '../plan/speed.js';
import type { LinkSighting, LinkStatus, SwitchPort } from '../sighting/types.js';
import type { FoundLink } from './links.js';
import { sayPort } from './port-name.js';
import { type Hole, NOTHING, type Observed } from './types.js';

/** IANAifType ieee8023adLag. */
export const AGGREGATE = 161;

const DOWN: Partial<Record<LinkStatus, string>> = {
  down: 'down',
  lowerLayerDown: 'down (the layer below it is)',
  notPresent: 'not present (no module)',
};

export function stateOf(status: LinkStatus | undefined): 'up' | 'down' | undefined {
  if (status === undefined) return undefined;
  return status === 'up' ? 'up' : status in DOWN ? 'down' : undefined;
}

/** RFC 2863 §3.1.13: dormant, testing and unknown say neither up nor down. Switched off by its settings counts as down. */
export function linkStateOf(link: LinkSighting | undefined): 'up' | 'down' | undefined {
  if (link?.adminStatus === 'down') return 'down';
  return stateOf(link?.operStatus);
}

export function linkDown(
  endpoint: Endpoint,
  found: FoundLink | undefined,
  planned: Hole | undefined,
): Observed {
  const own = linkStateOf(found?.link);
  if (found !== undefined && own === 'down') {
    const { link, by } = found;
    const switchedOff = link.adminStatus === 'down';
    const state = switchedOff ? 'switched off' : (DOWN[link.operStatus ?? 'down'] ?? 'down');
    return down(endpoint, link.ifName ?? link.ifDescr ?? `ifIndex ${link.ifIndex}`, state, by, switchedOff);
  }
  if (own === 'up' || planned === undefined || stateOf(planned.port.operStatus) !== 'down') return NOTHING;
  const state = DOWN[planned.port.operStatus ?? 'down'] ?? 'down';
  return down(endpoint, planned.port.name, state, `switch ${planned.switch}`, false);
}

function down(endpoint: Endpoint, port: string, state: string, by: string, switchedOff: boolean): Observed {
  const evidence = `${by}: ${port} is ${state}`;
  return {
    reasons: [],
    differences: [{ field: 'link', planned: 'up', measured: state, evidence }],
    findings: [
      finding(
        'link-down',
        endpoint.id,
        { endpoint: endpoint.id, port, state, by, switchedOff },
        { evidence: [evidence], about: [endpoint.id] },
      ),
    ],
  };
}

export interface Speed {
  readonly mbps: number;
  readonly by: string;
}

/** The lower of the two ends. 0 means that the agent does not know. */
export function speedOf(
  found: FoundLink | undefined,
  hole: Hole | undefined,
  ports: readonly SwitchPort[],
): Speed | undefined {
  const speeds: Speed[] = [];
  const own = found?.link;
  if (own?.speedMbps && linkStateOf(own) === 'up')
    speeds.push({
      mbps: own.speedMbps,
      by: `${found?.by}: ${sayPort(`${own.ifName ?? own.ifDescr ?? own.ifIndex}`)}`,
    });
  for (const port of hole === undefined ? [] : membersOf(hole.port, ports))
    if (port.speedMbps && stateOf(port.operStatus) === 'up')
      speeds.push({ mbps: port.speedMbps, by: `switch ${hole?.switch}: ${sayPort(port.name)}` });
  return speeds.sort((a, b) => a.mbps - b.mbps)[0];
}

/** An aggregation group reports the sum of its members; what is planned is the speed of one. */
function membersOf(port: SwitchPort, ports: readonly SwitchPort[]): readonly SwitchPort[] {
  return port.ifType === AGGREGATE ? ports.filter((other) => other.aggregate === port.ifIndex) : [port];
}

export function speedBelowPlan(endpoint: Endpoint, speed: Speed | undefined): Observed {
  const plannedMbps = endpoint.speedMbps;
  if (plannedMbps === undefined || speed === undefined || speed.mbps >= plannedMbps) return NOTHING;
  const facts = { endpoint: endpoint.id, plannedMbps, measuredMbps: speed.mbps, by: speed.by };
  const evidence = `${speed.by} is up at ${formatSpeed(speed.mbps)}`;
  return {
    reasons: [],
    differences: [
      { field: 'speed', planned: formatSpeed(plannedMbps), measured: formatSpeed(speed.mbps), evidence },
    ],
    findings: [
      finding('speed-below-plan', endpoint.id, facts, { evidence: [evidence], about: [endpoint.id] }),
    ],
  };
}
