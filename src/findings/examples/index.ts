/** What a finding looks like: each rule's own words over an invented case. */
import { type Finding, type FindingCode, finding, RULES } from '../index.js';
import { PATH_EXAMPLES } from './paths.js';
import { PLAN_EXAMPLES } from './plan.js';
import { SITE_EXAMPLES } from './site.js';

const EXAMPLES = { ...PLAN_EXAMPLES, ...SITE_EXAMPLES, ...PATH_EXAMPLES };

/** Undefined for a code of another version of the program. */
export function exampleOf(code: string): Pick<Finding, 'message' | 'advice'> | undefined {
  return isCode(code) ? made(code) : undefined;
}

function made<Code extends FindingCode>(code: Code): Finding {
  return finding<Code>(code, '', EXAMPLES[code]);
}

function isCode(code: string): code is FindingCode {
  return Object.hasOwn(RULES, code);
}
