/** What links, switch tables, logins, echoes and portal lists tell of every endpoint of the plan. Nothing here judges it. Pure. */
import type { Endpoint } from '../plan/model.js';
import type { Cables } from './cables.js';
import { type Leg, legsOf } from './legs.js';
import { deviceSpeed, type EndSpeed, linkStateOf, switchSpeeds } from './link-state.js';
import { type FoundLink, findLink } from './links.js';
import { macsOf } from './locate.js';
import { endOf, type Placed, placeOf } from './placed.js';
import type { PortAtSwitch } from './types.js';

export interface CableSeen {
  readonly endpoint: Endpoint;
  /** Its row of the IF-MIB of its device. */
  readonly found: FoundLink | undefined;
  readonly macs: readonly string[];
  readonly placed: Placed;
  /** One a planned member of an aggregated link; none for a single cable. */
  readonly legs: readonly Leg[];
  /** Where the cable ends: the measured port, else the planned one while nothing speaks against it. */
  readonly end: PortAtSwitch | undefined;
  /** Both ends of its up links, slowest first. */
  readonly speeds: readonly EndSpeed[];
}

export function seeCable(cables: Cables, endpoint: Endpoint): CableSeen {
  const found = findLink(cables, endpoint);
  const macs = macsOf(cables, endpoint, found?.link);
  const legs = legsOf(cables, endpoint, macs);
  const placed = placeOf(cables, endpoint, found, linkStateOf(found?.link) === 'up');
  const end = endOf(placed);
  const ends =
    legs.length === 0
      ? [end]
      : legs.flatMap(({ at, seen }) =>
          seen.kind === 'elsewhere' ? [seen.at] : seen.kind === 'other' ? [] : [at],
        );
  const own = deviceSpeed(found);
  const speeds = [
    ...(own === undefined ? [] : [own]),
    ...ends.flatMap((at) => {
      const view = cables.switches.get(at?.switch ?? '');
      return switchSpeeds(at, view?.ports ?? [], view?.vantage ?? '');
    }),
  ].sort((a, b) => a.mbps - b.mbps);
  return { endpoint, found, macs, placed, legs, end, speeds };
}
