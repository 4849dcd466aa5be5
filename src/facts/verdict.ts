/** The verdict of an endpoint, as a view of its facts (DESIGN 6, the fixed table). */
import type { EndpointVerdict } from '../matrix/matrix.js';
import type { Fact } from './fact.js';

/** Not proven, and nothing is claimed for it: UDP without an answer, a mark that no answer told. The endpoint may match all the same. */
const ASIDE: ReadonlySet<string> = new Set(['unprovable', 'open']);

export function verdictOf(facts: readonly Fact[]): EndpointVerdict {
  const first = facts.find(({ fact }) => fact === 'address');
  if (first?.state === 'missing') return 'missing';
  if (facts.some(({ state }) => state === 'differs')) return 'differs';
  if (first === undefined) return withoutAddress(facts);
  if (first.state === 'unproven') return 'unproven';
  const asked = facts.filter(({ fact }) => fact === 'service' || fact === 'echo');
  return asked.some(({ state, cause }) => state === 'unproven' && !ASIDE.has(cause ?? ''))
    ? 'unproven'
    : 'matches';
}

/** Fibre Channel and power: the link, or what eyes saw of it, decides. */
function withoutAddress(facts: readonly Fact[]): EndpointVerdict {
  const deciding = facts.filter(({ fact }) => fact === 'light' || fact === 'link' || fact === 'switch-port');
  if (deciding.some(({ state }) => state === 'missing')) return 'missing';
  return deciding.some(({ state }) => state === 'matches') ? 'matches' : 'unproven';
}
