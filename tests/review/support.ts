import type { Finding, FindingCode } from '../../src/findings/index.js';
import type { Plan, SourceRef } from '../../src/plan/model.js';
import { reviewPlan } from '../../src/review/review.js';
import { aPlan } from '../support/evidence.js';

/** The findings of one code. */
export function found(code: FindingCode, parts: Parameters<typeof aPlan>[0] | Plan): Finding[] {
  const plan = 'files' in parts ? (parts as Plan) : aPlan(parts);
  return reviewPlan(plan).findings.filter((finding) => finding.code === code);
}

/** `severity subject` of each, for short comparisons. */
export function brief(findings: readonly Finding[]): string[] {
  return findings.map((finding) => `${finding.severity} ${finding.subject}`);
}

export function row(number: number): SourceRef {
  return { file: 'list.csv', row: number };
}
