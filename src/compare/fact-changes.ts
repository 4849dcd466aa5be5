/** The planned facts of an endpoint in two results: whose state is another, and what drifted while its state stayed. */
import type { EndpointResult, EndpointVerdict, FactResult } from '../matrix/matrix.js';
import type { FactChange, FactState, Turn } from './types.js';

/** Facts whose measured value is a bare value and no description, so that another one is a drift. */
const VALUES: ReadonlySet<FactResult['fact']> = new Set(['link', 'speed', 'vlan', 'mtu']);

const UNKNOWN: FactState = { state: 'unproven', measured: '', by: '' };

/** `known`: whether each result tells facts at all; what one of an older version does not tell was unproven, not unplanned. */
export function factChanges(
  before: EndpointResult,
  now: EndpointResult,
  known: { readonly old: boolean; readonly new: boolean },
): FactChange[] {
  const old = new Map(before.facts.map((fact) => [factKey(fact), fact]));
  const fresh = new Map(now.facts.map((fact) => [factKey(fact), fact]));
  const keys = new Set([...fresh.keys(), ...(known.new ? [] : old.keys())]);
  return [...keys].flatMap((key): FactChange[] => {
    const [was, is] = [old.get(key), fresh.get(key)];
    const stated = is ?? was;
    // What only one of the plans states is a change of the plan.
    if (stated === undefined || (was === undefined && known.old)) return [];
    const [from, to] = [stateOf(was), stateOf(is)];
    const turn = turnOf(from.state, to.state);
    if (turn === undefined && !drifted(stated.fact, from, to)) return [];
    return [
      {
        fact: stated.fact,
        ...(stated.service === undefined ? {} : { service: stated.service }),
        planned: stated.planned,
        before: from,
        now: to,
        turn: turn ?? 'otherwise',
        ...(is?.cause === undefined ? {} : { cause: is.cause }),
        reason: is?.reason ?? '',
      },
    ];
  });
}

export function factKey({ fact, service }: Pick<FactResult, 'fact' | 'service'>): string {
  return service === undefined ? fact : `${fact} ${service}`;
}

/** Undefined where both are the same. */
export function turnOf(before: EndpointVerdict, now: EndpointVerdict): Turn | undefined {
  if (before === now) return undefined;
  if (before === 'matches') return now === 'unproven' ? 'no-longer-proven' : 'worse';
  if (now === 'matches') return before === 'unproven' ? 'now-proven' : 'better';
  return before === 'unproven' ? 'found-wrong' : 'otherwise';
}

function stateOf(fact: FactResult | undefined): FactState {
  return fact === undefined ? UNKNOWN : { state: fact.state, measured: fact.measured, by: fact.by };
}

/** What somebody wrote after looking is not held against what was measured: the words differ anyway. */
function drifted(fact: FactResult['fact'], before: FactState, now: FactState): boolean {
  return (
    VALUES.has(fact) &&
    before.by === 'measured' &&
    now.by === 'measured' &&
    before.measured !== '' &&
    now.measured !== '' &&
    before.measured !== now.measured
  );
}
