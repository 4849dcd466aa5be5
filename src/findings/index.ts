import { CABLING_RULES } from './cabling.js';
import type { Severity } from './define.js';
import { DRILL_RULES } from './drill.js';
import { PLAN_RULES } from './plan.js';
import { REDUNDANCY_RULES } from './redundancy.js';
import { SITE_RULES } from './site.js';

/** Every finding the program can make. The documentation is made from this table. */
export const RULES = { ...PLAN_RULES, ...SITE_RULES, ...CABLING_RULES, ...REDUNDANCY_RULES, ...DRILL_RULES };

export type FindingCode = keyof typeof RULES;
export type FactsOf<C extends FindingCode> = Parameters<(typeof RULES)[C]['message']>[0];

/** DESIGN 7. `subject` is an endpoint id, device, group, network or address; `where` is the plan row that causes it. */
export interface Finding {
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly subject: string;
  readonly message: string;
  readonly evidence: readonly string[];
  readonly advice: string;
  /** Other things that the finding is about: endpoint ids, so that the page can link cells. */
  readonly about?: readonly string[] | undefined;
}

/** Makes a finding from the table's row. `severity` may be lowered or raised for a case that the rule names in its text. */
export function finding<C extends FindingCode>(
  code: C,
  subject: string,
  facts: FactsOf<C>,
  more: { evidence?: readonly string[]; about?: readonly string[]; severity?: Severity } = {},
): Finding {
  const row = RULES[code] as unknown as {
    severity: Severity;
    message: (f: FactsOf<C>) => string;
    advice: (f: FactsOf<C>) => string;
  };
  return {
    code,
    severity: more.severity ?? row.severity,
    subject,
    message: row.message(facts),
    evidence: more.evidence ?? [],
    advice: row.advice(facts),
    ...(more.about === undefined ? {} : { about: more.about }),
  };
}
