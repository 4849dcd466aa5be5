/**
 * Which findings a consequence follows from, for results of versions that did not say it (`follows`), so that a lost path is not read as
 * one more fault.
 */
import type { Finding } from '../findings/index.js';
import { ruleOf } from '../findings/rule-of.js';

export interface NumberedFinding {
  readonly number: number;
  readonly finding: Finding;
}

/** What the judge computes from other faults. */
const CONSEQUENCES: ReadonlySet<string> = new Set(['path-missing', 'single-point', 'group-lost']);

/** What ends a path; a slow link, a small MTU or a wrong switch port leave it live (DESIGN 6). */
const ENDS_A_PATH: ReadonlySet<string> = new Set([
  'address-taken',
  'own-address-planned',
  'duplicate-address',
  'endpoint-missing',
  'no-echo',
  'service-missing',
  'service-refused',
  'service-other',
  'wrong-device',
  'link-down',
  'observation-differs',
]);

/** Findings of the plan whose subject is the group itself. */
const PLANNED_LIKE_THIS: ReadonlySet<string> = new Set([
  'group-not-independent',
  'group-single-path',
  'need-not-met-by-plan',
]);

/**
 * Number of each consequence -> numbers of what it follows from, ascending. A consequence whose cause stands in no finding is absent: it is to
 * be shown in full. `onAnotherSwitch`: endpoints found on a switch that the plan has not for them.
 */
export function causesOf(
  findings: readonly NumberedFinding[],
  onAnotherSwitch: ReadonlySet<string> = new Set(),
): ReadonlyMap<number, readonly number[]> {
  const enders = new Map<string, number[]>();
  const moves = new Map<string, number[]>();
  const planned = new Map<string, number[]>();
  const dead = new Set<string>();
  for (const { number, finding } of findings) {
    const { code, subject, severity } = finding;
    if (code === 'path-missing') dead.add(subject);
    if (severity === 'note') continue;
    if (PLANNED_LIKE_THIS.has(code)) add(planned, subject, number);
    const told = ENDS_A_PATH.has(code)
      ? enders
      : code === 'wrong-switch-port' && onAnotherSwitch.has(subject)
        ? moves
        : undefined;
    if (told !== undefined)
      for (const id of new Set([subject, ...(finding.about ?? [])])) add(told, id, number);
  }
  const causes = new Map<number, readonly number[]>();
  for (const { number, finding } of findings) {
    if (!isConsequence(finding.code)) continue;
    const own = [finding.subject, ...(finding.about ?? [])];
    const ended = finding.code === 'path-missing' ? [finding.subject] : own.filter((id) => dead.has(id));
    const found = [
      ...ended.flatMap((id) => enders.get(id) ?? []),
      ...(finding.code === 'single-point' ? own.flatMap((id) => moves.get(id) ?? []) : []),
      ...(planned.get(finding.subject) ?? []),
    ].filter((cause) => cause !== number);
    if (found.length > 0)
      causes.set(
        number,
        [...new Set(found)].sort((a, b) => a - b),
      );
  }
  return causes;
}

export function isConsequence(code: string): boolean {
  return CONSEQUENCES.has(code) && ruleOf(code)?.family === 'redundancy';
}

function add(map: Map<string, number[]>, key: string, number: number): void {
  const known = map.get(key);
  if (known) known.push(number);
  else map.set(key, [number]);
}
