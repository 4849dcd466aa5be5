/** The members of an aggregated link, one by one: what is seen in each planned port. */
import type { Endpoint, PlannedSwitchPort } from '../plan/model.js';
import type { SwitchPort } from '../sighting/types.js';
import type { Ground } from './ground.js';
import { stateOf } from './link-state.js';
import { findNeighbours, hangingAt } from './lldp.js';
import { isSameHole, learnedAt } from './locate.js';
import { findPort } from './port-name.js';
import type { Hole } from './types.js';

export type LegSeen =
  /** The endpoint's box is in the planned port. */
  | { readonly kind: 'there'; readonly by: 'LLDP' | 'forwarding table' }
  | { readonly kind: 'down' }
  /** Something else of the plan hangs on the planned port. */
  | { readonly kind: 'other'; readonly name: string }
  /** On this switch, in a port that is planned for none of its legs. */
  | { readonly kind: 'elsewhere'; readonly hole: Hole; readonly by: 'LLDP' | 'forwarding table' }
  | {
      readonly kind: 'unknown';
      readonly why: 'switch-not-read' | 'port-unknown' | 'port-ambiguous' | 'not-shown';
    };

export interface Leg {
  readonly planned: PlannedSwitchPort;
  readonly hole: Hole | undefined;
  readonly seen: LegSeen;
}

/** One for each planned member; a plan with a single cable has none. */
export function legsOf(ground: Ground, endpoint: Endpoint, macs: readonly string[]): Leg[] {
  if (endpoint.switchPorts.length < 2 || endpoint.virtual) return [];
  const heard = findNeighbours(ground, endpoint, macs)?.heard ?? [];
  const chassis = new Set(heard.map(({ neighbour }) => neighbour.chassisId.toLowerCase()));
  const learned = macs.map((mac) => learnedAt(ground, endpoint, mac)).find((at) => at.length > 0) ?? [];
  const holes = endpoint.switchPorts.map((planned) => holeOf(ground, planned));
  const isPlanned = (name: string, port: SwitchPort, by: 'LLDP' | 'forwarding table') =>
    holes.some((one) => one.hole?.switch === name && isSameHole(port, one.hole.port, by));
  return endpoint.switchPorts.map((planned, position): Leg => {
    const { hole, why } = holes[position] ?? { hole: undefined, why: 'port-unknown' as const };
    const leg = (seen: LegSeen): Leg => ({ planned, hole, seen });
    if (why === 'switch-not-read') return leg({ kind: 'unknown', why });
    if (hole === undefined && why !== undefined) return leg({ kind: 'unknown', why });
    if (stateOf(hole?.port.operStatus) === 'down') return leg({ kind: 'down' });
    const hanging = hole === undefined ? undefined : hangingAt(ground, endpoint, hole, chassis);
    if (hanging?.kind === 'other') return leg({ kind: 'other', name: hanging.name });
    const hears = heard.find(
      (one) =>
        one.switch === planned.switch && (hole === undefined || isSameHole(one.port, hole.port, 'LLDP')),
    );
    if (hears !== undefined || hanging?.kind === 'this-device') return leg({ kind: 'there', by: 'LLDP' });
    const here = learned.filter((one) => one.switch === planned.switch && one.leadsOn === undefined);
    if (here.some((one) => hole === undefined || isSameHole(one.port, hole.port, 'forwarding table')))
      return leg({ kind: 'there', by: 'forwarding table' });
    const strayHeard = heard.find(
      (one) => one.switch === planned.switch && !isPlanned(one.switch, one.port, 'LLDP'),
    );
    if (strayHeard !== undefined) return leg({ kind: 'elsewhere', hole: strayHeard, by: 'LLDP' });
    const stray = here.find((one) => !isPlanned(one.switch, one.port, 'forwarding table'));
    if (stray !== undefined)
      return leg({
        kind: 'elsewhere',
        hole: { switch: stray.switch, port: stray.port },
        by: 'forwarding table',
      });
    return leg({ kind: 'unknown', why: 'not-shown' });
  });
}

interface FoundHole {
  readonly hole: Hole | undefined;
  readonly why?: 'switch-not-read' | 'port-unknown' | 'port-ambiguous' | undefined;
}

function holeOf(ground: Ground, planned: PlannedSwitchPort): FoundHole {
  const view = ground.switches.get(planned.switch);
  if (view === undefined) return { hole: undefined, why: 'switch-not-read' };
  if (planned.port === undefined) return { hole: undefined };
  const match = findPort(view.ports, planned.port);
  if (match.kind === 'one') return { hole: { switch: planned.switch, port: match.port } };
  return { hole: undefined, why: match.kind === 'none' ? 'port-unknown' : 'port-ambiguous' };
}

/** Switches that carry the link: those that a member is seen at, and those planned for one that is not dark or taken by another. */
export function switchesOfLegs(
  legs: readonly Leg[],
): { readonly name: string; readonly source: 'planned' | 'measured' }[] {
  const found = new Map<string, 'planned' | 'measured'>();
  for (const { planned, seen } of legs) {
    if (seen.kind === 'there') found.set(planned.switch, 'measured');
    else if (seen.kind === 'elsewhere') found.set(seen.hole.switch, 'measured');
    else if (seen.kind === 'unknown' && !found.has(planned.switch)) found.set(planned.switch, 'planned');
  }
  return [...found].map(([name, source]) => ({ name, source }));
}
