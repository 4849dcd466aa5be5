import type { Finding } from '../findings/index.js';
import type { GroupResult, NetworkCapacity } from '../matrix/matrix.js';
import { count } from '../text/sentence.js';
import { renderCapacity } from './capacity.js';
import { renderFindings } from './findings.js';
import { renderGroups } from './groups.js';
import { type Ink, ink, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

export interface ReviewView {
  readonly site: string;
  readonly findings: readonly Finding[];
  readonly capacity: readonly NetworkCapacity[];
  readonly groups: readonly GroupResult[];
}

/** The plan alone: the outcome in one line, what would stop the visit, redundancy as planned, the addresses left. */
export function renderReview({ site, findings, capacity, groups }: ReviewView, style: TextStyle): string {
  const stop = findings.filter(({ severity }) => severity === 'stop').length;
  const fix = findings.filter(({ severity }) => severity === 'fix').length;
  const parts = [
    ink(style, wrap(style, `${site}: ${headline(stop, fix)}`).trimEnd(), ...inksOf(stop + fix)).concat('\n'),
    renderFindings(findings, style),
    renderGroups(groups, { ...style, asPlanned: true }),
    renderCapacity(capacity, style),
    findings.length === 0 ? '' : wrap(style, 'matchmark explain CODE says more about each code in brackets.'),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

function headline(stop: number, fix: number): string {
  if (stop > 0) {
    const then = fix > 0 ? `, and ${count(fix, 'thing')} to fix` : '';
    return `${count(stop, 'thing')} in the plan would stop the visit${then}. Settle it before anyone drives.`;
  }
  if (fix > 0) return `${count(fix, 'thing')} in the plan to fix before anyone drives.`;
  return 'nothing in the plan is known to be wrong. What is on the site, only a check can tell.';
}

function inksOf(wrong: number): readonly Ink[] {
  return wrong > 0 ? ['bold', 'red'] : ['bold'];
}
