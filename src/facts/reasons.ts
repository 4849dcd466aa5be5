/** Why an endpoint has its verdict, in sentences: those of the facts that decided, then what is said beside. */
import type { EndpointVerdict } from '../matrix/matrix.js';
import { list } from '../text/sentence.js';
import type { CableCause } from './cable-causes.js';
import type { Fact } from './fact.js';
import type { Situation } from './situation.js';

export function reasonsOf(s: Situation, facts: readonly Fact[], verdict: EndpointVerdict): string[] {
  const first = facts.find(({ fact }) => fact === 'address');
  const said = (wanted: readonly Fact[]): string[] => wanted.flatMap(({ lines }) => lines);
  // Where nobody is there, or nothing could be asked, the rest has no reason of its own.
  if (first !== undefined && (first.state === 'missing' || first.state === 'unproven')) {
    const beside = facts.filter(
      (fact) => !DECIDING.has(fact.fact) && (fact.state === 'differs' || isSaid(fact)),
    );
    return unique([...said([first]), ...said(beside)]);
  }
  const differing = facts.filter(({ state }) => state === 'differs');
  const rest = facts.filter((fact) => fact.state !== 'differs' && isSaid(fact));
  return unique([
    ...said(differing),
    ...workingReason(facts),
    ...said(rest),
    ...(verdict === 'matches' ? echoBeside(s, facts) : []),
    ...(verdict === 'unproven' ? mends(rest) : []),
  ]);
}

/** Facts that are told in full; of link and cable what is worth a word beside the verdict, the facts themselves show the rest. */
const DECIDING: ReadonlySet<Fact['fact']> = new Set(['address', 'echo', 'service', 'box']);
const WORTH_SAYING: ReadonlySet<string> = new Set<CableCause>([
  'laptop-limits',
  'echo-limited',
  'port-says-less',
  'port-unknown',
  'port-ambiguous',
  'mac-not-learned',
  'one-vlan-only',
  'no-table',
  'switch-cut-short',
  'leg-down',
  'in-its-group',
  'in-portal-group',
  'lists-by-name',
  'not-comparable',
  'asks-for-authentication',
  'may-be-tagged',
  'fabric-not-read',
]);

function isSaid({ fact, cause, state, by }: Fact): boolean {
  if (DECIDING.has(fact) || by === 'attested' || cause === 'nobody-looked' || cause === 'not-looked-at')
    return true;
  if (fact === 'vlan') return cause === 'may-be-tagged';
  return cause !== undefined && WORTH_SAYING.has(cause) ? true : state === 'missing';
}

function workingReason(facts: readonly Fact[]): string[] {
  const names = facts
    .filter(({ fact, state }) => fact === 'service' && state === 'matches')
    .map(({ service }) => service ?? '');
  return names.length === 0 ? [] : [`${names.join(', ')} ${names.length === 1 ? 'answers' : 'answer'}`];
}

/** The services answer and an echo does not, or was not asked: said, and no fault. */
function echoBeside({ best }: Situation, facts: readonly Fact[]): string[] {
  if (best === undefined || facts.some(({ fact }) => fact === 'echo')) return [];
  const { icmp, snmp } = best.sighting;
  const services = facts.some(({ fact, state }) => fact === 'service' && state === 'matches');
  const by = services ? 'the services answer' : snmp.outcome === 'replied' ? 'SNMP answers' : undefined;
  if (by === undefined) return [];
  switch (icmp.outcome) {
    case 'replied':
      return [];
    case 'not-run':
      return [`echo was not asked: ${icmp.reason}`];
    case 'no-reply':
      return [`no echo reply, but ${by}`];
    case 'unreachable':
      return [`echo: ${icmp.detail}, but ${by}`];
  }
}

function mends(facts: readonly Fact[]): string[] {
  const all = [...new Set(facts.flatMap(({ mend }) => (mend === undefined ? [] : [mend])))];
  return all.length === 0 ? [] : [`to prove it: ${list(all)}`];
}

function unique(lines: readonly string[]): string[] {
  return [...new Set(lines)];
}
