/** What is left to say with --quiet: the findings that are to be settled. */
import type { Finding } from '../findings/index.js';
import { renderFindings } from '../terminal/findings.js';
import { type CliDeps, textStyle } from './common.js';

export function writeOpenFindings(
  findings: readonly Finding[],
  deps: Pick<CliDeps, 'stdout' | 'env' | 'platform'>,
): void {
  const unsettled = findings.filter(({ severity }) => severity !== 'note');
  if (unsettled.length > 0) deps.stdout.write(renderFindings(unsettled, textStyle(deps.stdout, deps)));
}
