import { naturalOrder } from '../text/sentence.js';
import type { Severity } from './define.js';
import { type Finding, type FindingCode, RULES } from './index.js';

const RANK: Readonly<Record<Severity, number>> = { stop: 0, fix: 1, note: 2 };
/** Causes before what follows from them: who fixes the site's faults has mended most lost paths. */
const FAMILY_RANK = { site: 0, plan: 1, redundancy: 2 } as const;

/** What stops the work first, then causes before consequences, then by code, then by subject as a person would sort it. */
export function orderFindings(findings: readonly Finding[]): Finding[] {
  return [...findings].sort(
    (a, b) =>
      RANK[a.severity] - RANK[b.severity] ||
      familyRank(a.code) - familyRank(b.code) ||
      naturalOrder(a.code, b.code) ||
      naturalOrder(a.subject, b.subject),
  );
}

/** A result of another version may hold a code that this one does not know: it stands with the causes. */
function familyRank(code: string): number {
  return Object.hasOwn(RULES, code) ? FAMILY_RANK[RULES[code as FindingCode].family] : 0;
}
