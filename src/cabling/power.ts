/** The power supplies of a device, joined over all its agents (RFC 6933, RFC 4268). */
import type { Cables } from './cables.js';

export interface SuppliesSeen {
  readonly supplies: readonly {
    readonly name: string;
    readonly state: 'working' | 'not-working' | 'unknown';
  }[];
  readonly by: string;
  readonly vantage: string;
}

const WORSE = { 'not-working': 0, unknown: 1, working: 2 } as const;

/** One name is one supply, whichever agent tells it; where two disagree, the worse counts. The latest answer of each agent counts. */
export function suppliesOf(cables: Cables, device: string): SuppliesSeen | undefined {
  const byAgent = new Map<string, { told: (typeof all)[number]['told']; vantage: string }>();
  const inOrder = [...cables.view.evidence].sort((a, b) => (a.finishedAt < b.finishedAt ? -1 : 1));
  const all = inOrder.flatMap((evidence) =>
    evidence.power
      .filter((told) => told.device === device)
      .map((told) => ({ told, vantage: evidence.vantage.name })),
  );
  for (const { told, vantage } of all)
    if (told.supplies.length > 0) byAgent.set(told.askedAt, { told, vantage });
  const agents = [...byAgent.values()];
  const [first] = agents;
  if (first === undefined) return undefined;
  const states = new Map<string, SuppliesSeen['supplies'][number]['state']>();
  for (const { told } of agents) {
    for (const { name, state } of told.supplies) {
      const known = states.get(name);
      if (known === undefined || WORSE[state] < WORSE[known]) states.set(name, state);
    }
  }
  return {
    supplies: [...states].map(([name, state]) => ({ name, state })),
    by: `${device} (asked at ${agents.map(({ told }) => told.askedAt).join(', ')})`,
    vantage: first.vantage,
  };
}
