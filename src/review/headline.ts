/** The review in one sentence: the same on the terminal and on its page. */
import type { Finding } from '../matrix/matrix.js';
import { count } from '../text/sentence.js';

export function reviewHeadline(findings: readonly Pick<Finding, 'severity' | 'follows'>[]): string {
  const own = findings.filter(({ follows }) => follows.length === 0);
  const stop = own.filter(({ severity }) => severity === 'stop').length;
  const fix = own.filter(({ severity }) => severity === 'fix').length;
  if (stop > 0) {
    const then = fix > 0 ? `, and ${count(fix, 'thing')} to fix` : '';
    return `${count(stop, 'thing')} in the plan would stop the visit${then}. Decide before anyone drives.`;
  }
  if (fix > 0) return `${count(fix, 'thing')} in the plan to fix before anyone drives.`;
  return 'Nothing in the plan is known to be wrong. Only a check can tell what is on the site.';
}
