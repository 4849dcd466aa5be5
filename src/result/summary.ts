import type { Finding } from '../findings/index.js';
import type { EndpointResult, Summary } from '../matrix/matrix.js';

/** Counts of verdicts and of findings by severity. */
export function summarise(
  endpoints: readonly (Pick<EndpointResult, 'verdict'> & Partial<Pick<EndpointResult, 'facts'>>)[],
  findings: readonly Pick<Finding, 'severity'>[],
): Summary {
  const facts = { matches: 0, differs: 0, missing: 0, unproven: 0 };
  const summary = { matches: 0, differs: 0, missing: 0, unproven: 0, stop: 0, fix: 0, note: 0, facts };
  for (const { verdict, facts: stated = [] } of endpoints) {
    summary[verdict] += 1;
    for (const { state } of stated) facts[state] += 1;
  }
  for (const { severity } of findings) summary[severity] += 1;
  return summary;
}

/** DESIGN 4: 1 where anything is above `note`, else 0. */
export function exitStatusOf(findings: readonly Pick<Finding, 'severity'>[]): 0 | 1 {
  return findings.some(({ severity }) => severity !== 'note') ? 1 : 0;
}
