/** Claims of every address, worked out once for a view. */
import type { Endpoint } from '../plan/model.js';
import { type Claimed, claimedBy } from './claims.js';
import type { View } from './view.js';

export interface ClaimIndex {
  /** By the best-placed look alone. */
  best(address: string): Claimed;
  /** By all looks together. */
  ever(address: string): Claimed;
  /** Planned endpoints at whose own address this MAC answers. */
  plannedAt(mac: string): readonly Endpoint[];
  /** Every address that this MAC ever claimed. */
  placesOf(mac: string): ReadonlySet<string>;
}

const made = new WeakMap<View, ClaimIndex>();

export function claimsIn(view: View): ClaimIndex {
  const known = made.get(view);
  if (known !== undefined) return known;
  const claims = makeClaims(view);
  made.set(view, claims);
  return claims;
}

function makeClaims(view: View): ClaimIndex {
  const best = remembered((address) => claimedBy(view, view.seen(address).slice(0, 1)));
  const ever = remembered((address) =>
    view.seen(address).length < 2 ? best(address) : claimedBy(view, view.seen(address)),
  );
  const planned = once(() => plannedByMac(view, best));
  const places = once(() => placesByMac(view, ever));
  return {
    best,
    ever,
    plannedAt: (mac) => planned().get(mac) ?? [],
    placesOf: (mac) => places().get(mac) ?? new Set(),
  };
}

function plannedByMac(view: View, claimed: (address: string) => Claimed): Map<string, Endpoint[]> {
  const byMac = new Map<string, Endpoint[]>();
  for (const endpoint of view.plan.endpoints) {
    if (endpoint.address === undefined) continue;
    for (const { mac } of claimed(endpoint.address).claimants) {
      const at = byMac.get(mac);
      if (at === undefined) byMac.set(mac, [endpoint]);
      else at.push(endpoint);
    }
  }
  return byMac;
}

function placesByMac(view: View, claimed: (address: string) => Claimed): Map<string, Set<string>> {
  const byMac = new Map<string, Set<string>>();
  for (const address of view.addresses)
    for (const { mac } of claimed(address).claimants)
      byMac.set(mac, (byMac.get(mac) ?? new Set()).add(address));
  return byMac;
}

function remembered(work: (address: string) => Claimed): (address: string) => Claimed {
  const results = new Map<string, Claimed>();
  return (address) => {
    const known = results.get(address);
    if (known !== undefined) return known;
    const result = work(address);
    results.set(address, result);
    return result;
  };
}

function once<T>(work: () => T): () => T {
  let done: { readonly value: T } | undefined;
  return () => {
    done = done ?? { value: work() };
    return done.value;
  };
}
