/** The members of an aggregated link, one by one: what is seen in each planned port. */
import type { Endpoint, PlannedSwitchPort } from '../plan/model.js';
import type { SwitchPort } from '../sighting/types.js';
import type { Cables } from './cables.js';
import { stateOf } from './link-state.js';
import { findNeighbours, hangingAt } from './lldp.js';
import { isSamePort, learnedAt } from './locate.js';
import { findPort } from './port-name.js';
import type { PortAtSwitch } from './types.js';

export type LegSeen =
  /** The endpoint's device is in the planned port. */
  | { readonly kind: 'there'; readonly by: 'LLDP' | 'forwarding table' }
  | { readonly kind: 'down' }
  /** Something else of the plan hangs on the planned port. */
  | { readonly kind: 'other'; readonly name: string }
  /** On this switch, in a port that is planned for none of its legs. */
  | { readonly kind: 'elsewhere'; readonly at: PortAtSwitch; readonly by: 'LLDP' | 'forwarding table' }
  | {
      readonly kind: 'unknown';
      readonly why: 'switch-not-read' | 'port-unknown' | 'port-ambiguous' | 'not-shown';
    };

export interface Leg {
  readonly planned: PlannedSwitchPort;
  readonly at: PortAtSwitch | undefined;
  readonly seen: LegSeen;
}

/** One for each planned member; a plan with a single cable has none. */
export function legsOf(cables: Cables, endpoint: Endpoint, macs: readonly string[]): Leg[] {
  if (endpoint.switchPorts.length < 2 || endpoint.virtual) return [];
  const heard = findNeighbours(cables, endpoint, macs)?.heard ?? [];
  const chassis = new Set(heard.map(({ neighbour }) => neighbour.chassisId.toLowerCase()));
  const learned = macs.map((mac) => learnedAt(cables, endpoint, mac)).find((at) => at.length > 0) ?? [];
  const ports = endpoint.switchPorts.map((planned) => portFor(cables, planned));
  const isPlanned = (name: string, port: SwitchPort, by: 'LLDP' | 'forwarding table') =>
    ports.some((one) => one.at?.switch === name && isSamePort(port, one.at.port, by));
  return endpoint.switchPorts.map((planned, position): Leg => {
    const { at, why } = ports[position] ?? { at: undefined, why: 'port-unknown' as const };
    const leg = (seen: LegSeen): Leg => ({ planned, at, seen });
    if (why === 'switch-not-read') return leg({ kind: 'unknown', why });
    if (at === undefined && why !== undefined) return leg({ kind: 'unknown', why });
    if (stateOf(at?.port.operStatus) === 'down') return leg({ kind: 'down' });
    const hanging = at === undefined ? undefined : hangingAt(cables, endpoint, at, chassis);
    if (hanging?.kind === 'other') return leg({ kind: 'other', name: hanging.name });
    const hears = heard.find(
      (one) => one.switch === planned.switch && (at === undefined || isSamePort(one.port, at.port, 'LLDP')),
    );
    if (hears !== undefined || hanging?.kind === 'this-device') return leg({ kind: 'there', by: 'LLDP' });
    const here = learned.filter((one) => one.switch === planned.switch && one.leadsOn === undefined);
    if (here.some((one) => at === undefined || isSamePort(one.port, at.port, 'forwarding table')))
      return leg({ kind: 'there', by: 'forwarding table' });
    const strayHeard = heard.find(
      (one) => one.switch === planned.switch && !isPlanned(one.switch, one.port, 'LLDP'),
    );
    if (strayHeard !== undefined) return leg({ kind: 'elsewhere', at: strayHeard, by: 'LLDP' });
    const stray = here.find((one) => !isPlanned(one.switch, one.port, 'forwarding table'));
    if (stray !== undefined)
      return leg({
        kind: 'elsewhere',
        at: { switch: stray.switch, port: stray.port },
        by: 'forwarding table',
      });
    return leg({ kind: 'unknown', why: 'not-shown' });
  });
}

interface FoundPort {
  readonly at: PortAtSwitch | undefined;
  readonly why?: 'switch-not-read' | 'port-unknown' | 'port-ambiguous' | undefined;
}

function portFor(cables: Cables, planned: PlannedSwitchPort): FoundPort {
  const view = cables.switches.get(planned.switch);
  if (view === undefined) return { at: undefined, why: 'switch-not-read' };
  if (planned.port === undefined) return { at: undefined };
  const match = findPort(view.ports, planned.port);
  if (match.kind === 'one') return { at: { switch: planned.switch, port: match.port } };
  return { at: undefined, why: match.kind === 'none' ? 'port-unknown' : 'port-ambiguous' };
}

/** Switches that carry the link: those that a member is seen at, and those planned for one that is not dark or taken by another. */
export function switchesOfLegs(
  legs: readonly Leg[],
): { readonly name: string; readonly source: 'planned' | 'measured' }[] {
  const found = new Map<string, 'planned' | 'measured'>();
  for (const { planned, seen } of legs) {
    if (seen.kind === 'there') found.set(planned.switch, 'measured');
    else if (seen.kind === 'elsewhere') found.set(seen.at.switch, 'measured');
    else if (seen.kind === 'unknown' && !found.has(planned.switch)) found.set(planned.switch, 'planned');
  }
  return [...found].map(([name, source]) => ({ name, source }));
}
