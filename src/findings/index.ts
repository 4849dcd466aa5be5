import type { Finding } from '../matrix/matrix.js';
import { type EvidenceLine, sayLine } from '../sighting/evidence-line.js';
import { CABLING_RULES } from './cabling.js';
import type { Severity } from './define.js';
import { DRILL_RULES } from './drill.js';
import { LINK_RULES } from './link.js';
import { PLAN_RULES } from './plan.js';
import { REDUNDANCY_RULES } from './redundancy.js';
import { SITE_RULES } from './site.js';

/** Every finding the program can make. The documentation is made from this table. */
export const RULES = {
  ...PLAN_RULES,
  ...SITE_RULES,
  ...CABLING_RULES,
  ...LINK_RULES,
  ...REDUNDANCY_RULES,
  ...DRILL_RULES,
};

export type { Finding } from '../matrix/matrix.js';

export type FindingCode = keyof typeof RULES;
export type FactsOf<C extends FindingCode> = Parameters<(typeof RULES)[C]['message']>[0];

/** Makes a finding from the table's row. `severity` may be lowered or raised for a case that the rule names in its text. */
export function finding<C extends FindingCode>(
  code: C,
  subject: string,
  facts: FactsOf<C>,
  more: { evidence?: readonly EvidenceLine[]; about?: readonly string[]; severity?: Severity } = {},
): Finding {
  const row = RULES[code] as unknown as {
    severity: Severity;
    message: (f: FactsOf<C>) => string;
    advice: (f: FactsOf<C>) => string;
  };
  return {
    id: findingId(code, subject),
    follows: [],
    code,
    severity: more.severity ?? row.severity,
    subject,
    message: row.message(facts),
    ...linesOf(more.evidence ?? []),
    advice: row.advice(facts),
    ...(more.about === undefined ? {} : { about: more.about }),
  };
}

/** As sentences, and where somebody saw it apart: who, when, what. */
function linesOf(evidence: readonly EvidenceLine[]): Pick<Finding, 'evidence' | 'seen'> {
  const seen = evidence.map((line) => (typeof line === 'string' ? { text: line } : line));
  return {
    evidence: evidence.map(sayLine),
    ...(seen.some(({ who, told }) => (who ?? told) !== undefined) ? { seen } : {}),
  };
}

/** The same from run to run, so that two runs can be compared (DESIGN 7). */
export function findingId(code: string, subject: string): string {
  return `${code}:${subject}`;
}
