/** What links, switch tables, logins, echoes and portal lists tell of every endpoint of the plan. Nothing here judges it. Pure. */
import type { Endpoint } from '../plan/model.js';
import type { Ground } from './ground.js';
import { type Leg, legsOf } from './legs.js';
import { deviceSpeed, type EndSpeed, linkStateOf, switchSpeeds } from './link-state.js';
import { type FoundLink, findLink } from './links.js';
import { macsOf } from './locate.js';
import { endOf, type Placed, placeOf } from './placed.js';
import type { Hole } from './types.js';

export interface CableSeen {
  readonly endpoint: Endpoint;
  /** Its row of the IF-MIB of its device. */
  readonly found: FoundLink | undefined;
  readonly macs: readonly string[];
  readonly placed: Placed;
  /** One a planned member of an aggregated link; none for a single cable. */
  readonly legs: readonly Leg[];
  /** Where the cable ends: the measured port, else the planned one while nothing speaks against it. */
  readonly end: Hole | undefined;
  /** Both ends of its up links, slowest first. */
  readonly speeds: readonly EndSpeed[];
}

export function seeCable(ground: Ground, endpoint: Endpoint): CableSeen {
  const found = findLink(ground, endpoint);
  const macs = macsOf(ground, endpoint, found?.link);
  const legs = legsOf(ground, endpoint, macs);
  const placed = placeOf(ground, endpoint, found, linkStateOf(found?.link) === 'up');
  const end = endOf(placed);
  const holes =
    legs.length === 0
      ? [end]
      : legs.flatMap(({ hole, seen }) =>
          seen.kind === 'elsewhere' ? [seen.hole] : seen.kind === 'other' ? [] : [hole],
        );
  const own = deviceSpeed(found);
  const speeds = [
    ...(own === undefined ? [] : [own]),
    ...holes.flatMap((hole) => {
      const view = ground.switches.get(hole?.switch ?? '');
      return switchSpeeds(hole, view?.ports ?? [], view?.vantage ?? '');
    }),
  ].sort((a, b) => a.mbps - b.mbps);
  return { endpoint, found, macs, placed, legs, end, speeds };
}
