/** All evidence of one stage, arranged by address, the best-placed look first. Order of the evidence plays no part. */
import { cidrContains } from '../plan/address.js';
import type { Endpoint, Network, Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { AddressSighting, Evidence, Reach } from '../sighting/types.js';
import { type Places, placesOf } from './place.js';
import { portalPages } from './portal-page.js';
import { anyAsked, type Response, responsesOf } from './responses.js';

export interface Seen {
  readonly evidence: Evidence;
  readonly sighting: AddressSighting;
  readonly responses: readonly Response[];
}

export interface View {
  readonly plan: Plan;
  readonly stage: Evidence['stage'];
  /** Evidence of that stage. */
  readonly evidence: readonly Evidence[];
  /** Every look at an address, best-placed first. */
  seen(address: string): readonly Seen[];
  /** Addresses that anyone looked at. */
  readonly addresses: readonly string[];
  /** False where every run was limited to other devices (`--only`). */
  lookedAt(device: string): boolean;
  /** The plan's network an address lies in, longest prefix first. */
  networkAt(address: string): Network | undefined;
  networkOf(endpoint: Endpoint): Network | undefined;
  /** Where the laptop stands to each network. */
  readonly places: Places;
  /** MACs that answer for everything where this look was taken (DESIGN 6, proxy ARP). */
  proxies(seen: Seen): ReadonlySet<string>;
}

const REACH: Readonly<Record<Reach, number>> = { 'on-link': 0, routed: 1, 'no-route': 2 };

export function viewOf(plan: Plan, allEvidence: readonly Evidence[]): View {
  // Runs of both stages together: what was seen before re-addressing says nothing of the site as it is now.
  const stage = allEvidence.some((evidence) => evidence.stage === 'configured')
    ? 'configured'
    : (allEvidence[0]?.stage ?? 'configured');
  const evidence = allEvidence.filter((one) => one.stage === stage);
  const byAddress = new Map<string, Seen[]>();
  for (const one of evidence) {
    const pages = portalPages(plan, one);
    for (const sighting of one.sightings) {
      const seen = byAddress.get(sighting.address) ?? [];
      seen.push({ evidence: one, sighting, responses: responsesOf(sighting, pages.get(sighting.address)) });
      byAddress.set(sighting.address, seen);
    }
  }
  const { networkAt, networkOf } = indexOf(plan);
  const places = placesOf(plan, evidence, networkAt);
  for (const seen of byAddress.values()) seen.sort((a, b) => betterPlaced(a, b, places));
  return {
    plan,
    stage,
    evidence,
    seen: (address) => byAddress.get(address) ?? [],
    addresses: [...byAddress.keys()],
    lookedAt: (device) =>
      evidence.length === 0 || evidence.some((one) => one.only === undefined || one.only.includes(device)),
    networkAt,
    places,
    networkOf,
    proxies: (seen) => new Set([...proxiesOf(plan, seen), ...routersAt(plan, byAddress, seen)]),
  };
}

/** A look that asked something before one that asked nothing, one that could have heard before one in the wrong place, then by reach, then others before the one that has the address, then who can ask more, then whole runs, then the latest. */
function betterPlaced(a: Seen, b: Seen, places: Places): number {
  return (
    Number(!knows(a)) - Number(!knows(b)) ||
    Number(isLost(a, places)) - Number(isLost(b, places)) ||
    REACH[a.sighting.reach] - REACH[b.sighting.reach] ||
    Number(a.sighting.own) - Number(b.sighting.own) ||
    Number(isLimited(a)) - Number(isLimited(b)) ||
    Number(!a.evidence.complete) - Number(!b.evidence.complete) ||
    compareText(b.evidence.startedAt, a.evidence.startedAt) ||
    compareText(a.evidence.vantage.name, b.evidence.vantage.name) ||
    compareText(JSON.stringify(a.sighting), JSON.stringify(b.sighting))
  );
}

/** Silence in a place where nobody is, or that is in another VLAN: whoever answered elsewhere is there. */
function isLost({ evidence, sighting }: Seen, places: Places): boolean {
  return (
    sighting.reach === 'on-link' &&
    sighting.presence.outcome === 'unclaimed' &&
    places.at(evidence, sighting.address).kind !== 'there'
  );
}

/** The place could not speak what is planned there (a shell, or one port alone): another on the same link tells more. */
function isLimited({ evidence: { vantage }, sighting: { tcp, proofs } }: Seen): boolean {
  return (
    vantage.port !== undefined ||
    [...tcp, ...proofs].some((one) => one.outcome === 'not-run' && one.cause === 'not-supported')
  );
}

function knows(seen: Seen): boolean {
  return seen.sighting.own || seen.sighting.presence.outcome !== 'not-run' || anyAsked(seen.responses);
}

function proxiesOf(plan: Plan, { evidence, sighting }: Seen): ReadonlySet<string> {
  const macs = new Set<string>();
  for (const check of evidence.proxyArp) {
    if (!check.answeredBy.includes(check.mac)) continue;
    const cidr = plan.networks.find((network) => network.name === check.network)?.cidr;
    if (cidr === undefined || cidrContains(cidr, sighting.address)) macs.add(check.mac);
  }
  return macs;
}

/** MACs that hold the gateway's address: what they claim for a device that is not the gateway, a router claims for another. */
function routersAt(
  plan: Plan,
  byAddress: ReadonlyMap<string, readonly Seen[]>,
  { evidence, sighting }: Seen,
): string[] {
  return plan.networks.flatMap(({ gateway, cidr }) => {
    if (gateway === undefined || gateway === sighting.address) return [];
    if (cidr === undefined || !cidrContains(cidr, sighting.address)) return [];
    // Where the plan has the router itself as a device, its other addresses are its own.
    const holder = plan.endpoints.find(({ address }) => address === gateway)?.device;
    if (
      holder !== undefined &&
      plan.endpoints.some((one) => one.device === holder && one.address === sighting.address)
    )
      return [];
    const look = byAddress.get(gateway)?.find((one) => one.evidence === evidence);
    return look?.sighting.presence.outcome === 'claimed' ? [...look.sighting.presence.macs] : [];
  });
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
