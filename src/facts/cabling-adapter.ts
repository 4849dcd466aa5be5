/** The facts about link and cable as differences, reasons and findings, for those who do not read the facts yet. */
import type { Finding } from '../findings/index.js';
import type { Difference } from '../matrix/matrix.js';
import type { Endpoint } from '../plan/model.js';
import type { CableCause } from './cable-causes.js';
import type { Fact } from './fact.js';

/** Said beside a verdict until the facts are shown themselves. */
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

/** Open and differing observations by eyes are said by those who ask for them. */
const OF_OTHERS: ReadonlySet<string> = new Set(['observation-differs', 'observation-open']);

export function adapted(
  endpoint: Endpoint,
  facts: readonly Fact[],
  linkState: 'up' | 'down' | undefined,
): {
  readonly differences: readonly Difference[];
  readonly reasons: readonly string[];
  readonly findings: readonly Finding[];
  readonly verdict?: 'matches' | 'differs';
} {
  const measured = facts.filter(({ by }) => by !== 'attested');
  const differences = measured.flatMap(differencesOf);
  const verdict = differences.length > 0 ? 'differs' : linkState === 'up' ? 'matches' : undefined;
  return {
    differences,
    reasons: measured.flatMap((fact) => reasonsOf(endpoint, fact)),
    findings: measured.flatMap(({ findings }) => findings).filter(({ code }) => !OF_OTHERS.has(code)),
    ...(endpoint.address !== undefined || verdict === undefined ? {} : { verdict }),
  };
}

function differencesOf({ fact, state, planned, measured, evidence, parts }: Fact): Difference[] {
  if (state !== 'differs' && state !== 'missing') return [];
  const all = parts ?? [{ field: fact === 'switch-port' ? 'switch port' : fact, planned, measured }];
  return all.map((part) => ({ ...part, evidence: evidence.join('; ') }));
}

function reasonsOf(endpoint: Endpoint, { fact, state, reason, cause }: Fact): string[] {
  if (state === 'differs' || state === 'missing') return [];
  // The VLAN has a column of its own; one reason about a MAC that no table has is enough.
  if (fact === 'vlan') return cause === 'may-be-tagged' ? [reason] : [];
  if (cause !== undefined) return WORTH_SAYING.has(cause) ? [reason] : [];
  return (fact === 'light' || fact === 'link') && endpoint.address === undefined && state === 'matches'
    ? [reason]
    : [];
}
