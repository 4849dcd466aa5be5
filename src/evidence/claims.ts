/** Who claims an address: from the ARP answers of every look, with what is no claim of a device of its own left out. */

import { isVirtualRouterMac } from '../plan/mac.js';
import { type EvidenceLine, seenLine } from '../sighting/evidence-line.js';
import type { Claim } from '../sighting/types.js';
import type { Seen, View } from './view.js';

export interface Claimant {
  readonly mac: string;
  /** Ethernet sources of its answers where they differ from the MAC. */
  readonly frameSources: readonly string[];
  /** One line of evidence each. */
  readonly evidence: readonly EvidenceLine[];
  /** From the first to the last of its answers, in milliseconds since the epoch; absent where the times are not known. */
  readonly span?: Span | undefined;
}

export interface Span {
  readonly from: number;
  readonly to: number;
}

export interface Claimed {
  /** Devices that claim the address, sorted by MAC: no proxies, and a virtual router's physical side folded into it. */
  readonly claimants: readonly Claimant[];
  /** Set where MACs that answer for everything were left out. */
  readonly proxied: readonly string[];
  /** Claimed by at least one device that is not a proxy. */
  readonly byDevice: boolean;
  /** One look heard two of them answer; otherwise they were seen one after the other, or from two places. */
  readonly together: boolean;
}

/** `looks`: all looks at one address. */
export function claimedBy(view: View, looks: readonly Seen[]): Claimed {
  const found = new Map<
    string,
    { sources: Set<string>; evidence: EvidenceLine[]; spans: (Span | undefined)[] }
  >();
  const proxied = new Set<string>();
  const heardIn: Set<string>[] = [];
  for (const seen of looks) {
    const heard = new Set<string>();
    heardIn.push(heard);
    const { presence } = seen.sighting;
    if (presence.outcome !== 'claimed') continue;
    const proxies = view.proxies(seen);
    for (const claim of withBareMacs(presence.claims, presence.macs, presence.methods[0])) {
      if (proxies.has(claim.mac)) {
        proxied.add(claim.mac);
        continue;
      }
      const entry = found.get(claim.mac) ?? { sources: new Set<string>(), evidence: [], spans: [] };
      if (claim.frameSource !== undefined && claim.frameSource !== claim.mac)
        entry.sources.add(claim.frameSource);
      if (claim.method === 'capture' || claim.method === 'arping') heard.add(claim.mac);
      entry.evidence.push(claimLine(seen, claim));
      entry.spans.push(spanOf(seen, claim, looks));
      found.set(claim.mac, entry);
    }
  }
  const behindRouters = new Set(
    [...found].filter(([mac]) => isVirtualRouterMac(mac)).flatMap(([, entry]) => [...entry.sources]),
  );
  const claimants = [...found]
    .filter(([mac, { sources }]) => {
      if (isVirtualRouterMac(mac)) return true;
      // Its answers come in frames of another claimant: one device speaks for both.
      const relayed = sources.size > 0 && [...sources].every((source) => source !== mac && found.has(source));
      return !behindRouters.has(mac) && !relayed;
    })
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([mac, { sources, evidence, spans }]) => ({
      mac,
      frameSources: [...sources].sort(),
      evidence,
      span: joined(spans),
    }));
  const kept = new Set(claimants.map(({ mac }) => mac));
  return {
    claimants,
    proxied: [...proxied].sort(),
    byDevice: claimants.length > 0,
    together: heardIn.some((heard) => [...heard].filter((mac) => kept.has(mac)).length > 1),
  };
}

/**
 * When it answered: by its own times where they were heard, else the whole run. Within one run a claim without times can have been
 * heard at any moment of it.
 */
function spanOf({ evidence }: Seen, claim: Claim, looks: readonly Seen[]): Span | undefined {
  const from = Date.parse(evidence.startedAt);
  const to = Date.parse(evidence.finishedAt);
  if (claim.seenFromMs !== undefined && claim.seenToMs !== undefined)
    return { from: claim.seenFromMs, to: claim.seenToMs };
  return looks.length > 1 && from <= to ? { from, to } : undefined;
}

function joined(spans: readonly (Span | undefined)[]): Span | undefined {
  const known = spans.filter((span) => span !== undefined);
  if (known.length === 0 || known.length < spans.length) return undefined;
  return { from: Math.min(...known.map(({ from }) => from)), to: Math.max(...known.map(({ to }) => to)) };
}

/** A MAC that stands in `macs` and in no claim counts as one claim by the first method. */
function withBareMacs(
  claims: readonly Claim[],
  macs: readonly string[],
  method: Claim['method'] | undefined,
): Claim[] {
  const bare = macs.filter((mac) => !claims.some((claim) => claim.mac === mac));
  return [...claims, ...bare.map((mac) => ({ mac, method: method ?? 'neighbour-table', count: 1 }))];
}

const METHODS: Readonly<Record<Claim['method'], string>> = {
  'neighbour-table': "the laptop's neighbour table",
  capture: 'captured ARP answers',
  arping: 'ARP answers to arping',
  'own-address': "the laptop's own address",
};

function claimLine({ evidence, sighting }: Seen, claim: Claim): EvidenceLine {
  const times = claim.count > 1 ? `, ${claim.count} times` : '';
  const after = claim.afterMs === undefined ? '' : `, first after ${claim.afterMs} ms`;
  const source =
    claim.frameSource === undefined || claim.frameSource === claim.mac
      ? ''
      : `, in frames of ${claim.frameSource}`;
  return seenLine(
    evidence,
    `${sighting.address} is at ${claim.mac} by ${METHODS[claim.method]}${times}${after}${source}`,
  );
}
