import type { Claimed } from '../evidence/claims.js';
import type { Seen } from '../evidence/view.js';
import { isVirtualRouterMac } from '../plan/mac.js';

/** The MACs of cards: for a virtual router, those its frames came from. */
export function physicalMacs({ claimants }: Claimed): string[] {
  return claimants.flatMap(({ mac, frameSources }) => (isVirtualRouterMac(mac) ? frameSources : [mac]));
}

/** What the best-placed look that learned anything learned. */
export function identityOf(looks: readonly Seen[]): Seen['sighting']['identity'] | undefined {
  return looks.map((look) => look.sighting.identity).find((identity) => Object.keys(identity).length > 0);
}
