import { type Finding, finding } from '../findings/index.js';
import type { Holders } from '../findings/plan-networks.js';
import type { Endpoint } from '../plan/model.js';
import { citing, groupBy, type PlanView } from './plan-view.js';

/** Planned MTUs that do not fit each other or the network. */
export function mtuMismatches(view: PlanView): Finding[] {
  const findings: Finding[] = [];
  const told = new Set<string>();
  for (const [network, endpoints] of groupBy(view.plan.endpoints, (endpoint) => view.networkOf(endpoint))) {
    const limit = network.mtu;
    const tooLarge = limit === undefined ? [] : endpoints.filter((endpoint) => (endpoint.mtu ?? 0) > limit);
    if (tooLarge.length > 0) findings.push(mismatch(network.name, 'network', 'too-large', tooLarge, limit));
    const rest = endpoints.filter((endpoint) => !tooLarge.includes(endpoint));
    if (mtusOf(rest).length < 2) continue;
    findings.push(mismatch(network.name, 'network', 'differ', rest));
    for (const endpoint of rest) told.add(endpoint.id);
  }
  for (const [group, members] of groupBy(view.plan.endpoints, (endpoint) => endpoint.group)) {
    if (mtusOf(members).length < 2) continue;
    // Said already where the network has the same difference.
    if (members.every((member) => member.mtu === undefined || told.has(member.id))) continue;
    findings.push(mismatch(group, 'group', 'differ', members));
  }
  return findings;
}

function mtusOf(endpoints: readonly Endpoint[]): [number, Endpoint[]][] {
  return [...groupBy(endpoints, (endpoint) => endpoint.mtu)].sort(
    ([a, left], [b, right]) => right.length - left.length || a - b,
  );
}

function mismatch(
  place: string,
  kind: 'network' | 'group',
  problem: 'differ' | 'too-large',
  endpoints: readonly Endpoint[],
  limit?: number,
): Finding {
  const groups = mtusOf(endpoints);
  const holders: Holders[] = groups.map(([mtu, ends]) => ({
    value: String(mtu),
    endpoints: ends.map((end) => end.id),
  }));
  return finding(
    'mtu-mismatch-in-network',
    place,
    { place, kind, problem, limit, holders },
    citing(
      groups.flatMap(([, ends]) => ends),
      (end) => `MTU ${end.mtu}`,
    ),
  );
}
