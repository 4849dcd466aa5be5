/**
 * What was measured over each pair of a host port and an array port: a look that left by the host's own port to the array port's address.
 * A host that has several ports in one network is looked from by each (remote/port-looks.ts); else its one port there is it.
 */
import { claimedBy } from '../evidence/claims.js';
import { anyAnswer } from '../evidence/responses.js';
import type { Seen, View } from '../evidence/view.js';
import { cidrContains, hostOf } from '../plan/address.js';
import type { Endpoint } from '../plan/model.js';
import type { PairMeasured } from '../redundancy/index.js';

/** `host endpoint id -> data endpoint id`, as the paths of a group are called. What nobody asked from there is left out. */
export function pairsMeasured(view: View): ReadonlyMap<string, PairMeasured> {
  const hosts = view.plan.endpoints.filter(({ role, address }) => role === 'host' && address !== undefined);
  const pairs = new Map<string, PairMeasured>();
  if (hosts.length === 0) return pairs;
  for (const end of view.plan.endpoints) {
    if (end.address === undefined || end.role === 'host') continue;
    for (const look of view.seen(end.address)) {
      const measured = measuredBy(view, look);
      if (measured === undefined) continue;
      for (const host of hosts.filter((one) => leftBy(look, one))) {
        const pair = `${host.id} -> ${end.id}`;
        // Best-placed first; a later one speaks only where those before could not tell.
        if ((pairs.get(pair)?.state ?? 'unproven') === 'unproven') pairs.set(pair, measured);
      }
    }
  }
  return pairs;
}

/** The question went out by the port that has the host endpoint's address, and could go out by no other. */
function leftBy({ sighting, evidence: { vantage } }: Seen, host: Endpoint): boolean {
  const near = vantage.interfaces.filter(
    ({ up, addresses }) => up && addresses.some((one) => cidrContains(one, sighting.address)),
  );
  if (sighting.reach === 'on-link' && near.length > 1) return false;
  const port = vantage.interfaces.find(({ name }) => name === sighting.interface);
  return port?.addresses.some((one) => hostOf(one) === host.address) === true;
}

function measuredBy(view: View, look: Seen): PairMeasured | undefined {
  const { sighting, evidence, responses } = look;
  const over = evidence.vantage.name;
  if (anyAnswer(responses)) return { state: 'live', over };
  // Behind a router silence has many causes.
  if (sighting.reach !== 'on-link' || sighting.own) return undefined;
  if (sighting.presence.outcome === 'unclaimed')
    return { state: 'dead', over, why: `nobody answers ${over} at ${sighting.address}` };
  if (!claimedBy(view, [look]).byDevice) return undefined;
  const silent = responses.some(({ state }) => state === 'silent');
  return silent
    ? {
        state: 'unproven',
        over,
        why: `${sighting.address} is claimed there, and what ${over} asked stayed unanswered`,
      }
    : { state: 'live', over };
}
