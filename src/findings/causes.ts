/**
 * Which finding follows from which, by the traits of their rules, so that people are told causes with their consequences beneath (DESIGN 2).
 * A finding that is about an endpoint whose fault has a wider cause follows from that cause; a lost path from what ended it.
 */
import type { Finding } from '../matrix/matrix.js';
import type { Joins } from './define.js';
import { ruleOf } from './rule-of.js';

/** Faults that take several endpoints with them, the wider last, so that it has the last word. */
const WIDE: readonly Joins[] = ['covers-switch', 'covers-network'];

/** What the judge knows of endpoints beyond their findings. */
export interface Circumstances {
  /** Found on a switch that the plan has not for them. */
  readonly onAnotherSwitch?: ReadonlySet<string> | undefined;
  /** There, and none of their planned services works. */
  readonly noServiceWorks?: ReadonlySet<string> | undefined;
}

/** Sets `id` and `follows`. */
export function withCauses(
  findings: readonly Finding[],
  { onAnotherSwitch = new Set(), noServiceWorks = new Set() }: Circumstances = {},
): Finding[] {
  const named = withIds(findings);
  const enders = new Map<string, string[]>();
  const moves = new Map<string, string[]>();
  const planned = new Map<string, string[]>();
  const wide = new Map<string, string>();
  const devices = new Map<string, string>();
  const dead = new Set<string>();
  const byId = new Map(named.map((finding) => [finding.id, finding]));
  for (const wider of WIDE)
    for (const { id, about = [], code } of named)
      if (joinsOf(code) === wider) for (const endpoint of about) wide.set(endpoint, id);
  for (const { id, about = [], code } of named)
    if (joinsOf(code) === 'covers-device') for (const endpoint of about) devices.set(endpoint, id);
  for (const { id, code, subject, severity, about = [] } of named) {
    if (code === 'path-missing') dead.add(subject);
    if (severity === 'note') continue;
    // Their subject is the group.
    if (joinsOf(code) === 'never-redundant') add(planned, subject, id);
    const table =
      ruleOf(code)?.endsPath === true
        ? enders
        : code === 'wrong-switch-port' && onAnotherSwitch.has(subject)
          ? moves
          : undefined;
    if (table !== undefined) for (const endpoint of new Set([subject, ...about])) add(table, endpoint, id);
  }
  const told = named.map((finding): Finding => {
    const { id, code, subject, about = [] } = finding;
    const same = sameJob(named, finding, noServiceWorks);
    if (same !== undefined) return { ...finding, follows: [same] };
    const joins = joinsOf(code);
    const cause =
      joins === 'silence' ? wide.get(subject) : joins === 'service' ? devices.get(subject) : undefined;
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
  const following = new Map(told.map((one) => [one.id, one.follows]));
  return told.map((finding) =>
    finding.follows.length === 0 ? finding : { ...finding, follows: rootsOf(following, finding) },
  );
}

/** An earlier finding that the same piece of work clears. */
function sameJob(
  named: readonly Finding[],
  { id, code, subject, severity, about = [] }: Finding,
  noServiceWorks: ReadonlySet<string>,
): string | undefined {
  if (severity === 'note') return undefined;
  const earlier = (fits: (one: Finding) => boolean): string | undefined => {
    const first = named.find((one) => one.severity !== 'note' && fits(one));
    return first === undefined || first.id === id ? undefined : first.id;
  };
  if (joinsOf(code) === 'service' && noServiceWorks.has(subject))
    return earlier((one) => joinsOf(one.code) === 'service' && one.subject === subject);
  if (joinsOf(code) !== 'exchange') return undefined;
  const partners = about.filter((one) => one !== subject);
  return earlier(
    (one) =>
      one.code === code &&
      (one.id === id || (partners.includes(one.subject) && one.about?.includes(subject) === true)),
  );
}

/** What something follows from is a cause itself, not another consequence. */
function rootsOf(following: ReadonlyMap<string, readonly string[]>, { id, follows }: Finding): string[] {
  const roots = new Set<string>();
  const passed = new Set<string>([id]);
  const queue = [...follows];
  for (let next = queue.shift(); next !== undefined; next = queue.shift()) {
    if (passed.has(next)) continue;
    passed.add(next);
    const further = following.get(next) ?? [];
    if (further.length === 0) roots.add(next);
    else queue.push(...further);
  }
  return roots.size > 0 ? [...roots] : [...follows];
}

function joinsOf(code: string): Joins {
  return ruleOf(code)?.joins ?? 'none';
}

export function isConsequence(code: string): boolean {
  return ruleOf(code)?.consequence === true;
}

function wideOf(found: Finding | undefined, wide: ReadonlyMap<string, string>): string | undefined {
  return found !== undefined && joinsOf(found.code) === 'silence' ? wide.get(found.subject) : undefined;
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
