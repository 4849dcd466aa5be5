import type { Finding } from '../findings/index.js';
import type { GroupResult, NetworkCapacity } from '../matrix/matrix.js';
import { reviewHeadline } from '../review/headline.js';
import type { VisitItem, VisitList } from '../review/packing.js';
import { renderCapacity } from './capacity.js';
import { renderFindings } from './findings.js';
import { renderGroups } from './groups.js';
import { type Ink, ink, type TextStyle } from './style.js';
import { padTo, wrap } from './wrap.js';

export interface ReviewView {
  readonly site: string;
  readonly findings: readonly Finding[];
  readonly capacity: readonly NetworkCapacity[];
  readonly groups: readonly GroupResult[];
  readonly visit: VisitList;
}

/** The plan alone: the outcome in one line, what would stop the visit, redundancy as planned, the addresses left, what to free and to bring. */
export function renderReview(
  { site, findings, capacity, groups, visit }: ReviewView,
  style: TextStyle,
): string {
  const wrong = findings.some(({ severity }) => severity !== 'note');
  const inks: readonly Ink[] = wrong ? ['bold', 'red'] : ['bold'];
  const parts = [
    ink(style, wrap(style, `${site}: ${reviewHeadline(findings)}`).trimEnd(), ...inks).concat('\n'),
    renderFindings(findings, style),
    renderGroups(groups, { ...style, asPlanned: true }),
    renderCapacity(capacity, style),
    items('The site must have ready', visit.free, style),
    items('To bring', visit.bring, style),
    findings.length === 0 ? '' : wrap(style, 'matchmark explain CODE says more about each code in brackets.'),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

const WIDEST_HEAD = 22;

function items(title: string, lines: readonly VisitItem[], style: TextStyle): string {
  if (lines.length === 0) return '';
  const widest = Math.min(WIDEST_HEAD, Math.max(...lines.map(({ what }) => what.length)));
  return `${ink(style, title, 'bold')}\n${lines.map(({ what, text }) => wrap(style, text, `  ${padTo(what, widest)}  `)).join('')}`;
}
