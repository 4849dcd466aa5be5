/**
 * Which finding follows from which, by the traits of their rules, so that people are told causes with their consequences beneath (DESIGN 2).
 * A finding that is about an endpoint whose fault has a wider cause follows from that cause; a lost path from what ended it.
 */
import type { Finding } from '../matrix/matrix.js';
import { ruleOf } from './rule-of.js';

/** Codes of a fault that takes several endpoints with it, widest first. */
const WIDE = ['laptop-misplaced', 'switch-silent'] as const;
/** What such a fault explains: silence. */
const EXPLAINED: ReadonlySet<string> = new Set(['endpoint-missing', 'gateway-silent']);
/** A plan that was never redundant: its site findings follow from it. Their subject is the group. */
const PLANNED_LIKE_THIS: ReadonlySet<string> = new Set([
  'group-not-independent',
  'group-single-path',
  'need-not-met-by-plan',
]);

/** Sets `id` and `follows`. `onAnotherSwitch`: endpoints found on a switch that the plan has not for them. */
export function withCauses(
  findings: readonly Finding[],
  onAnotherSwitch: ReadonlySet<string> = new Set(),
): Finding[] {
  const named = withIds(findings);
  const enders = new Map<string, string[]>();
  const moves = new Map<string, string[]>();
  const planned = new Map<string, string[]>();
  const wide = new Map<string, string>();
  const dead = new Set<string>();
  const byId = new Map(named.map((finding) => [finding.id, finding]));
  for (const code of [...WIDE].reverse())
    for (const { id, about = [], code: own } of named)
      if (own === code) for (const endpoint of about) wide.set(endpoint, id);
  for (const { id, code, subject, severity, about = [] } of named) {
    if (code === 'path-missing') dead.add(subject);
    if (severity === 'note') continue;
    if (PLANNED_LIKE_THIS.has(code)) add(planned, subject, id);
    const told =
      ruleOf(code)?.endsPath === true
        ? enders
        : code === 'wrong-switch-port' && onAnotherSwitch.has(subject)
          ? moves
          : undefined;
    if (told !== undefined) for (const endpoint of new Set([subject, ...about])) add(told, endpoint, id);
  }
  return named.map((finding) => {
    const { id, code, subject, about = [] } = finding;
    const cause = EXPLAINED.has(code) ? wide.get(subject) : undefined;
    if (cause !== undefined && cause !== id) return { ...finding, follows: [cause] };
    if (!isConsequence(code)) return finding;
    const own = [subject, ...about];
    const ended = code === 'path-missing' ? [subject] : own.filter((one) => dead.has(one));
    const follows = [
      ...ended.flatMap((one) => enders.get(one) ?? []),
      ...(code === 'single-point' ? own.flatMap((one) => moves.get(one) ?? []) : []),
      ...(planned.get(subject) ?? []),
    ]
      // A consequence of a wide fault follows from the fault itself.
      .map((one) => wideOf(byId.get(one), wide) ?? one)
      .filter((one) => one !== id);
    return follows.length === 0 ? finding : { ...finding, follows: [...new Set(follows)] };
  });
}

export function isConsequence(code: string): boolean {
  return ruleOf(code)?.consequence === true;
}

/** What somebody has to do: causes that are no notes. */
export function isJob({ severity, follows }: Pick<Finding, 'severity' | 'follows'>): boolean {
  return severity !== 'note' && follows.length === 0;
}

function wideOf(found: Finding | undefined, wide: ReadonlyMap<string, string>): string | undefined {
  return found !== undefined && EXPLAINED.has(found.code) ? wide.get(found.subject) : undefined;
}

/** Code and subject name a finding; of several with both the same, the later ones are counted. */
function withIds(findings: readonly Finding[]): Finding[] {
  const counts = new Map<string, number>();
  return findings.map((finding) => {
    const base = `${finding.code}:${finding.subject}`;
    const before = counts.get(base) ?? 0;
    counts.set(base, before + 1);
    return { ...finding, id: before === 0 ? base : `${base}:${before + 1}`, follows: [] };
  });
}

function add(map: Map<string, string[]>, key: string, id: string): void {
  const known = map.get(key);
  if (known) known.push(id);
  else map.set(key, [id]);
}
