/** What the newer plan states otherwise than the older one: places, and planned facts. */
import type { EndpointResult, FactResult } from '../matrix/matrix.js';
import { factKey } from './fact-changes.js';
import type { PlanChange } from './types.js';

/** Facts whose planned value is written as the plan has it; the others' is a description, which a version of the program may word anew. */
const WRITTEN: ReadonlySet<FactResult['fact']> = new Set(['speed', 'switch-port', 'vlan', 'mtu']);

/** `known`: both results tell facts. */
export function planChanges(before: EndpointResult, now: EndpointResult, known: boolean): PlanChange[] {
  const place = (['address', 'network', 'group'] as const).flatMap((what): PlanChange[] =>
    before[what] === now[what] ? [] : [{ endpoint: now.id, what, before: before[what], now: now[what] }],
  );
  if (!known) return place;
  const old = new Map(before.facts.map((fact) => [factKey(fact), fact]));
  const fresh = new Map(now.facts.map((fact) => [factKey(fact), fact]));
  const facts = [...new Set([...old.keys(), ...fresh.keys()])].flatMap((key): PlanChange[] => {
    const [was, is] = [old.get(key), fresh.get(key)];
    const stated = is ?? was;
    if (stated === undefined) return [];
    const same =
      was !== undefined && is !== undefined && (!WRITTEN.has(stated.fact) || was.planned === is.planned);
    // An address is told as a place already.
    if (same || stated.fact === 'address' || stated.fact === 'echo') return [];
    const what = stated.service ?? stated.fact;
    return [{ endpoint: now.id, what, before: was?.planned ?? '', now: is?.planned ?? '' }];
  });
  return [...place, ...facts];
}
