/**
 * Links between switches: a row of a switch that itself names a `switch` and `switch port` (DESIGN 3). A path whose two ends are on two
 * switches crosses them. Several links side by side are one requirement: any of them will do.
 */
import type { Endpoint, Plan } from '../plan/model.js';

export interface SwitchLink {
  /** Id of the endpoint that stands for the link. */
  readonly endpoint: string;
  readonly ends: readonly [string, string];
}

export interface SwitchHop {
  readonly links: readonly SwitchLink[];
  /** The switch that the hop leads to. */
  readonly to: string;
}

export function switchLinksOf({ endpoints }: Pick<Plan, 'endpoints'>): SwitchLink[] {
  const switches = new Set(endpoints.flatMap((endpoint) => endpoint.switch ?? []));
  return endpoints.flatMap((endpoint) =>
    isLink(endpoint, switches)
      ? [{ endpoint: endpoint.id, ends: [endpoint.device, endpoint.switch ?? ''] as const }]
      : [],
  );
}

function isLink({ device, role, switch: to }: Endpoint, switches: ReadonlySet<string>): boolean {
  return to !== undefined && to !== device && (role === 'switch' || switches.has(device));
}

/** The shortest way from one switch to the other; undefined where the plan knows none. */
export function hopsBetween(
  links: readonly SwitchLink[],
  from: string,
  to: string,
): readonly SwitchHop[] | undefined {
  if (from === to) return [];
  const ways = new Map<string, readonly SwitchHop[]>([[from, []]]);
  const queue = [from];
  for (let at = queue.shift(); at !== undefined; at = queue.shift()) {
    const way = ways.get(at) ?? [];
    for (const next of neighboursOf(links, at)) {
      if (ways.has(next)) continue;
      const hop = { to: next, links: links.filter(({ ends }) => ends.includes(at) && ends.includes(next)) };
      ways.set(next, [...way, hop]);
      if (next === to) return ways.get(next);
      queue.push(next);
    }
  }
  return undefined;
}

function neighboursOf(links: readonly SwitchLink[], at: string): string[] {
  return [...new Set(links.flatMap(({ ends: [a, b] }) => (a === at ? [b] : b === at ? [a] : [])))].sort();
}
