import { naturalOrder } from '../text/sentence.js';
import type { Severity } from './rules/define.js';
import type { Finding } from './rules/index.js';

const RANK: Readonly<Record<Severity, number>> = { stop: 0, fix: 1, note: 2 };

/** What stops the work first, then by code, then by subject as a person would sort it. Equal ones keep their order. */
export function orderFindings(findings: readonly Finding[]): Finding[] {
  return [...findings].sort(
    (a, b) =>
      RANK[a.severity] - RANK[b.severity] ||
      naturalOrder(a.code, b.code) ||
      naturalOrder(a.subject, b.subject),
  );
}
