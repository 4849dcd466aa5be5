/**
 * Groups with more paths than are held one by one. A group with `from` has the product of two lists of ports: a plan of a few thousand
 * rows, made in error or to do harm, could ask for millions, each with its things in the result. Such a group is not judged, and that is said. Pure.
 */
import type { Endpoint, Plan } from '../plan/model.js';

/** A path fills some 500 characters of matrix.json. `each`: 128 host ports to 128 data ports; `sum`: below what a reader of results takes. */
export const PATHS_LIMIT = { each: 16_384, sum: 65_536 } as const;

const known = new WeakMap<Plan, ReadonlyMap<string, number>>();

/** Name of each group that has too many -> how many it has. Groups are counted in the order of the plan. */
export function tooManyPaths(plan: Plan): ReadonlyMap<string, number> {
  const before = known.get(plan);
  if (before !== undefined) return before;
  const found = countAll(plan);
  known.set(plan, found);
  return found;
}

function countAll({ endpoints, groups }: Plan): Map<string, number> {
  const byId = new Map(endpoints.map((endpoint) => [endpoint.id, endpoint]));
  const hosts = new Map<string, Endpoint[]>();
  for (const endpoint of endpoints) {
    if (endpoint.role !== 'host') continue;
    const own = hosts.get(endpoint.device);
    if (own === undefined) hosts.set(endpoint.device, [endpoint]);
    else own.push(endpoint);
  }
  const members = new Map(
    groups.map((group) => [group.name, perNetwork(group.members.flatMap((id) => byId.get(id) ?? []))]),
  );
  const ports = new Map([...hosts].map(([device, own]) => [device, perNetwork(own)]));
  const found = new Map<string, number>();
  let left: number = PATHS_LIMIT.sum;
  for (const { name, from, to } of groups) {
    if (from === undefined) continue;
    const ends = members.get(to ?? '');
    const paths = [...(ports.get(from) ?? [])].reduce(
      (sum, [network, count]) => sum + count * (ends?.get(network) ?? 0),
      0,
    );
    if (paths > PATHS_LIMIT.each || paths > left) found.set(name, paths);
    else left -= paths;
  }
  return found;
}

function perNetwork(endpoints: readonly Endpoint[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { network } of endpoints)
    if (network !== undefined) counts.set(network, (counts.get(network) ?? 0) + 1);
  return counts;
}
