import type { Finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import { titleOf } from '../findings/rule-of.js';

export interface NumberedFinding {
  /** Counts from 1; the same number on the page, in the terminal and in CSV. */
  readonly number: number;
  readonly finding: Finding;
}

export function numberFindings(findings: readonly Finding[]): readonly NumberedFinding[] {
  return orderFindings(findings).map((finding, index) => ({ number: index + 1, finding }));
}

/** What is wrong and with what: the heading of a finding on the page and in the terminal. */
export function headingOf({ code, subject }: Finding): string {
  return subject === '' ? titleOf(code) : `${titleOf(code)}: ${subject}`;
}

export interface FindingKind {
  readonly code: string;
  readonly severity: Finding['severity'];
  readonly findings: readonly NumberedFinding[];
}

/** Findings of one severity and code stand together, so that a hundred of a kind are said once. */
export function kindsOf(findings: readonly Finding[]): readonly FindingKind[] {
  const kinds: { code: string; severity: Finding['severity']; findings: NumberedFinding[] }[] = [];
  for (const numbered of numberFindings(findings)) {
    const { code, severity } = numbered.finding;
    const last = kinds.at(-1);
    if (last?.code === code && last.severity === severity) last.findings.push(numbered);
    else kinds.push({ code, severity, findings: [numbered] });
  }
  return kinds;
}
