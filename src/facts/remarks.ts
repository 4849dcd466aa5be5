/** What is said beside a verdict: what stayed open about duplicates, proxies and relays, and what other places saw. */

import { claimedBy } from '../evidence/claims.js';
import { isMovingPair } from '../evidence/duplicate.js';
import { somebodyThere } from '../evidence/there.js';
import { unexcludedDuplicate } from '../evidence/unexcluded.js';
import { isVirtualRouterMac } from '../plan/mac.js';
import type { Situation } from './situation.js';

export function remarksOn(facts: Situation): string[] {
  const { best, claimed, duplicate, view, looks, endpoint } = facts;
  if (best === undefined) return [];
  const remarks: string[] = [];
  const open = unexcludedDuplicate(best.sighting);
  if (open !== undefined && duplicate === undefined && !endpoint.virtual) remarks.push(open);
  if (duplicate?.sure === 'likely' && isMovingPair(view.plan, duplicate.macs))
    remarks.push(
      `the address was seen at both controllers' planned MACs (${duplicate.macs.join(', ')}): taken for a pair that moves its address; write virtual: yes if it is one`,
    );
  if (claimed.proxied.length > 0)
    remarks.push(
      `${claimed.proxied.join(', ')} answers ARP for everything here, so its claim proves nothing`,
    );
  for (const { mac, frameSources } of claimed.claimants) {
    if (frameSources.length === 0) continue;
    remarks.push(
      isVirtualRouterMac(mac)
        ? `${mac} is a virtual router's MAC, held by ${frameSources.join(', ')}`
        : `the claim of ${mac} came in frames of ${frameSources.join(', ')}: a relay stands between`,
    );
  }
  const present = somebodyThere(claimed, best.responses);
  for (const look of looks) {
    if (look === best) continue;
    const seenThere = somebodyThere(claimedBy(view, [look]), look.responses);
    if (seenThere !== present && (seenThere || look.sighting.reach === 'on-link'))
      remarks.push(
        `${look.evidence.vantage.name} (${look.sighting.reach}, ${look.evidence.startedAt}) ${seenThere ? 'got an answer' : 'got none'}`,
      );
  }
  return remarks;
}
