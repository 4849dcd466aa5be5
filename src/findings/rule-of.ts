import type { Rule } from './define.js';
import { RULES } from './index.js';

/** The parts of a rule that need no facts. */
export type RuleText = Omit<Rule<never>, 'message' | 'advice'>;

const TABLE: Readonly<Record<string, RuleText>> = RULES;

/** The rule of a code; undefined for a code of another version of the program. */
export function ruleOf(code: string): RuleText | undefined {
  return Object.hasOwn(TABLE, code) ? TABLE[code] : undefined;
}

export function ruleCodes(): readonly string[] {
  return Object.keys(TABLE);
}

/** The heading of a finding; a code that this version does not know is its own heading. */
export function titleOf(code: string): string {
  return ruleOf(code)?.title ?? code.replaceAll('-', ' ');
}
