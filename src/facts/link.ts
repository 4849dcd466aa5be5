/** Link of an endpoint: what its own agent says, else what the switch says of the port its cable ends in. */
import { deviceUntold, unreadSwitch } from '../cabling/agents.js';
import type { Cables } from '../cabling/cables.js';
import type { CableSeen } from '../cabling/index.js';
import { linkStateOf, nameOfLink, stateOf } from '../cabling/link-state.js';
import { isInAnotherPort } from '../cabling/placed.js';
import { sayPort } from '../cabling/port-name.js';
import type { PortAtSwitch } from '../cabling/types.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import type { LinkStatus } from '../sighting/types.js';
import { list } from '../text/sentence.js';
import { type CableCause, sayUntold, unproven } from './cable-causes.js';
import { differing, type Fact, matching, type Stated } from './fact.js';

/** The link itself, told by an agent: up or down, by whom. */
export interface LinkTold {
  readonly state: 'up' | 'down';
  readonly end: 'device' | 'switch';
  readonly by: string;
  readonly port: string;
  readonly status: LinkStatus | undefined;
  readonly switchedOff: boolean;
  readonly vantage: string;
}

export function linkTold(cables: Cables, { found, placed, end, legs }: CableSeen): LinkTold | undefined {
  const own = linkStateOf(found?.link);
  if (found !== undefined && own !== undefined)
    return {
      state: own,
      end: 'device',
      by: found.by,
      port: nameOfLink(found.link),
      status: found.link.operStatus,
      switchedOff: found.link.adminStatus === 'down',
      vantage: found.vantage,
    };
  if (legs.length > 0) {
    const up = legs.find(({ at, seen }) => seen.kind !== 'other' && stateOf(at?.port.operStatus) === 'up');
    if (up?.at !== undefined) return toldByPort(cables, up.at);
    // All its planned ports are dark, and it is up: its cables are in others.
    return placed.knownUp || !legs.every(({ seen }) => seen.kind === 'down')
      ? undefined
      : toldByPort(cables, legs[0]?.at);
  }
  if (isInAnotherPort(placed)) return undefined;
  return (
    toldByPort(cables, end) ??
    (placed.wrong || placed.taken !== undefined ? undefined : toldByPort(cables, placed.planned))
  );
}

function toldByPort(cables: Cables, at: PortAtSwitch | undefined): LinkTold | undefined {
  const state = stateOf(at?.port.operStatus);
  if (at === undefined || state === undefined) return undefined;
  return {
    state,
    end: 'switch',
    by: `switch ${at.switch}`,
    port: at.port.name,
    status: at.port.operStatus,
    switchedOff: false,
    vantage: cables.switches.get(at.switch)?.vantage ?? '',
  };
}

/**
 * Stated of an endpoint without an address (light.ts has Fibre Channel and power), and of every other whose link an agent or a
 * switch told.
 */
export function linkFact(cables: Cables, endpoint: Endpoint, seen: CableSeen): Fact | undefined {
  const stated: Stated = { fact: 'link', planned: 'up' };
  const told = linkTold(cables, seen);
  if (told === undefined) {
    if (endpoint.address !== undefined || endpoint.media === 'fc' || endpoint.role === 'power')
      return undefined;
    return unproven(
      stated,
      sayUntold('its link', deviceUntold(cables, endpoint, seen.found), unreadSwitch(cables, endpoint)),
    );
  }
  if (told.state === 'down') return linkDown(endpoint, stated, told);
  return legDown(cables, endpoint, stated, seen) ?? linkUp(stated, told);
}

function linkUp(stated: Stated, { end, by, port, vantage }: LinkTold): Fact {
  const reason =
    end === 'switch' ? `${by} says that ${sayPort(port)} has link` : `${by} says that ${sayPort(port)} is up`;
  return matching(stated, reason, { measured: 'up', vantage, evidence: [reason] });
}

const WORDS: Partial<Record<LinkStatus, string>> = {
  lowerLayerDown: 'down (the layer below it is)',
  notPresent: 'not present (no module)',
};

function linkDown(endpoint: Endpoint, stated: Stated, told: LinkTold): Fact {
  const { by, port, status, switchedOff, vantage } = told;
  const state = switchedOff ? 'switched off' : ((status === undefined ? undefined : WORDS[status]) ?? 'down');
  const cause: CableCause = switchedOff ? 'switched-off' : 'link-down';
  const evidence = [`${by}: ${port} is ${state}`];
  return differing(stated, cause, `${by} says that ${sayPort(port)} is ${state}`, {
    measured: state,
    vantage,
    evidence,
    path: 'ends',
    findings: [
      finding(
        'link-down',
        endpoint.id,
        { endpoint: endpoint.id, port, state, by, switchedOff },
        { evidence, about: [endpoint.id] },
      ),
    ],
  });
}

/** Some members of an aggregated link are dark while another carries it. */
function legDown(cables: Cables, endpoint: Endpoint, stated: Stated, { legs }: CableSeen): Fact | undefined {
  const down = legs.flatMap(({ at, seen }) => (seen.kind === 'down' && at !== undefined ? [at] : []));
  const [first] = down;
  if (first === undefined) return undefined;
  const ports = down.map((at) => ({ switch: at.switch, port: at.port.name }));
  const names = ports.map(({ switch: name, port }) => `${name} ${sayPort(port)}`);
  const measured = `${legs.length - down.length} of ${legs.length} members up`;
  const evidence = ports.map(({ switch: name, port }) => `switch ${name}: ${port} is down`);
  const cause: CableCause = 'leg-down';
  return differing(stated, cause, `its aggregated link has no link at ${list(names)}`, {
    measured,
    vantage: cables.switches.get(first.switch)?.vantage ?? '',
    evidence,
    findings: [
      finding(
        'link-member-down',
        endpoint.id,
        { endpoint: endpoint.id, down: ports, members: legs.length },
        { evidence, about: [endpoint.id] },
      ),
    ],
  });
}
