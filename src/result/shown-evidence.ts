/** The evidence of a finding as a screen shows it: who and when only where the screen has not said so already. */
import type { Finding, Matrix } from '../matrix/matrix.js';
import { type SeenLine, sayLine } from '../sighting/evidence-line.js';
import { timeWords } from '../text/time.js';

/** Results of older versions have sentences alone. */
export function evidenceLines({ evidence, seen }: Finding): readonly SeenLine[] {
  return seen ?? evidence.map((text) => ({ text }));
}

/** With the time to the minute, as people say it. */
export function timedLine(line: SeenLine): string {
  return sayLine(line.at === undefined ? line : { ...line, at: timeWords(line.at) });
}

/** Without the time: the page has it. */
export function untimedLine({ who, text }: SeenLine): string {
  return sayLine({ who, text });
}

/** Without the time of a look of this run, which stands in the title block once. */
export function lineInRun(line: SeenLine, { evidence }: Pick<Matrix, 'evidence'>): string {
  return evidence.some(({ startedAt }) => startedAt === line.at) ? untimedLine(line) : timedLine(line);
}
