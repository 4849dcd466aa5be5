/** Which findings are new, cleared, or the same with another severity: by their ids, never by their words (DESIGN 7). */
import { type Finding, findingId } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import { matched } from './matched.js';
import type { Comparison } from './types.js';

export function compareFindings(before: readonly Finding[], now: readonly Finding[]): Comparison['findings'] {
  const findings = matched(withIds(before), withIds(now), ({ id }) => id);
  const changed = findings.both
    .filter(([was, is]) => was.severity !== is.severity)
    .map(([was, is]) => ({ before: was, now: is }));
  const order = orderFindings(changed.map((pair) => pair.now));
  return {
    new: orderFindings(findings.added),
    cleared: orderFindings(findings.gone),
    changed: changed.sort((a, b) => order.indexOf(a.now) - order.indexOf(b.now)),
    same: findings.both.length - changed.length,
  };
}

/** A stop or fix that was not there, or was a lesser one. */
export function isWorse({ new: fresh, changed }: Pick<Comparison['findings'], 'new' | 'changed'>): boolean {
  return (
    fresh.some(({ severity }) => severity !== 'note') ||
    changed.some(({ before, now }) => RANK[now.severity] > RANK[before.severity])
  );
}

const RANK = { note: 0, fix: 1, stop: 2 } as const;

/** Results of older versions name no ids; of several findings with one code and subject the later ones are counted, as the judge does it. */
function withIds(findings: readonly Finding[]): Finding[] {
  const taken = new Set<string>();
  return findings.map((finding) => {
    const base = finding.id === '' ? findingId(finding.code, finding.subject) : finding.id;
    let id = base;
    for (let count = 2; taken.has(id); count += 1) id = `${base}:${count}`;
    taken.add(id);
    return { ...finding, id };
  });
}
