import type { Matrix } from '../matrix/matrix.js';
import { count, list } from '../text/sentence.js';
import { type DrillProgress, unfinishedDrill } from './drill-progress.js';
import { reachSentences } from './reach.js';

export interface Outcome {
  /** `stop`, `fix`, `open` (nothing wrong, something unproven or not looked at) or `ready`. */
  readonly state: 'stop' | 'fix' | 'open' | 'ready';
  readonly headline: string;
  /** Whole sentences, most urgent first. */
  readonly sentences: readonly string[];
}

/** The one sentence that everybody reads first, and what belongs beside it. The same words on the page and in the terminal. */
export function outcomeOf(matrix: Matrix): Outcome {
  const { summary } = matrix;
  const open = matrix.observations.filter((observation) => observation.verdict === 'open').length;
  const drill = unfinishedDrill(matrix.evidence);
  const state =
    summary.stop > 0
      ? 'stop'
      : summary.fix > 0
        ? 'fix'
        : summary.unproven + open > 0 || !matrix.run.complete || drill !== undefined
          ? 'open'
          : 'ready';
  const sentences = [tally(matrix)];
  if (!matrix.run.complete)
    sentences.unshift('The run was cut short: this is what it had, and the rest was not looked at.');
  if (matrix.run.only !== undefined)
    sentences.push(
      `Only ${list(matrix.run.only)} ${matrix.run.only.length === 1 ? 'was' : 'were'} looked at.`,
    );
  sentences.push(...reachSentences(matrix));
  if (open > 0) sentences.push(`${count(open, 'observation')} still to be made by eye.`);
  if (matrix.run.stage === 'power-on')
    sentences.push('This is the power-on stage: devices may still be at their default addresses.');
  return { state, headline: headline(state, matrix, drill), sentences };
}

function headline(
  state: Outcome['state'],
  { summary, run }: Matrix,
  drill: DrillProgress | undefined,
): string {
  const pulled =
    drill === undefined ? '' : ` Pull test not finished: ${drill.done} of ${count(drill.of, 'step')}.`;
  return outcomeLine(state, { summary, run }) + pulled;
}

function outcomeLine(state: Outcome['state'], { summary, run }: Pick<Matrix, 'summary' | 'run'>): string {
  switch (state) {
    case 'stop':
      return `Stop: ${count(summary.stop, 'thing')} to make safe before going on${
        summary.fix > 0 ? `, then ${summary.fix} to fix before handover` : ''
      }.`;
    case 'fix':
      return `Not ready to hand over: ${count(summary.fix, 'thing')} to fix.`;
    case 'open':
      return run.complete
        ? 'Nothing found wrong, but not everything is proven.'
        : 'Nothing found wrong so far, in a run that was cut short.';
    case 'ready':
      return 'Ready to hand over: everything that was looked at is as planned.';
  }
}

function tally({ summary, endpoints }: Matrix): string {
  const parts = [
    `${summary.matches} ${summary.matches === 1 ? 'matches' : 'match'}`,
    `${summary.differs} ${summary.differs === 1 ? 'differs' : 'differ'}`,
    `${summary.missing} ${summary.missing === 1 ? 'is' : 'are'} missing`,
    `${summary.unproven} ${summary.unproven === 1 ? 'is' : 'are'} unproven`,
  ];
  return `Of ${count(endpoints.length, 'planned endpoint')}, ${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}.`;
}
