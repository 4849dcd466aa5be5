/** What was planted and whether the check found it, as terminal text. */
import type { Finding } from '../findings/index.js';
import type { Matrix } from '../matrix/matrix.js';
import type { TextStyle } from '../terminal/style.js';
import { wrap } from '../terminal/wrap.js';
import { count, plural } from '../text/sentence.js';
import type { PlantedFault } from './planted.js';

export interface DemoOutcome {
  readonly found: readonly PlantedFault[];
  readonly missed: readonly PlantedFault[];
  /** Findings above `note` that nobody planted. */
  readonly unexpected: readonly Finding[];
}

export function demoOutcome(
  planted: readonly PlantedFault[],
  matrix: Matrix,
  unexpected: readonly Finding[],
): DemoOutcome {
  return {
    found: planted.filter((fault) => fault.found(matrix)),
    missed: planted.filter((fault) => !fault.found(matrix)),
    unexpected,
  };
}

export function isWhole({ missed, unexpected }: DemoOutcome): boolean {
  return missed.length === 0 && unexpected.length === 0;
}

export function renderDemoOutcome(outcome: DemoOutcome, notes: readonly string[], style: TextStyle): string {
  const { found, missed, unexpected } = outcome;
  const total = found.length + missed.length;
  const fault = (mark: string, { what, code, where }: PlantedFault) =>
    wrap(style, `${code} at ${where}: ${what}`, `  ${mark}  `);
  const lines = [
    '\nWhat was planted in this site, and what the check made of it:\n',
    ...found.map((one) => fault('found ', one)),
    ...missed.map((one) => fault('MISSED', one)),
    ...unexpected.map((one) =>
      wrap(style, `${one.code} at ${one.subject}: ${one.message}`, '  NOT PLANTED  '),
    ),
    wrap(
      style,
      missed.length === 0 && unexpected.length === 0
        ? `All ${total} were found, and every other finding above a note follows from them.`
        : `${found.length} of ${total} were found; ${count(unexpected.length, 'finding')} above a note ${plural(unexpected.length, 'was', 'were')} not planted.`,
    ),
    '\n',
    ...notes.map((note) => wrap(style, note)),
  ];
  return lines.join('');
}
