/** What belongs beside the outcome, as whole sentences: what was looked at, from where, and what is still to be done. */
import type { Matrix } from '../matrix/matrix.js';
import { count, list, plural } from '../text/sentence.js';
import { nothingTested } from './outcome.js';
import { reachSentences } from './reach.js';

/** `counted`: the counts stand beside it anyway. */
export function outcomeSentences(matrix: Matrix, counted = false): readonly string[] {
  const { run, observations } = matrix;
  const open = observations.filter(({ verdict }) => verdict === 'open').length;
  return [
    ...(run.complete ? [] : ['The run was cut short: this is what it had. The rest was not looked at.']),
    ...(counted ? [] : [tally(matrix)]),
    ...(run.only === undefined
      ? []
      : [`Only ${list(run.only)} ${plural(run.only.length, 'was', 'were')} looked at.`]),
    ...reachSentences(matrix),
    ...(open > 0 ? [`${count(open, 'observation')} must still be made by eye.`] : []),
    ...(run.stage === 'power-on'
      ? ['This is the power-on stage: devices may still be at their default addresses.']
      : []),
  ];
}

/** Where there are no jobs: that nothing was tested is never that nothing is wrong. */
export function noJobsSentence(matrix: Matrix): string {
  if (nothingTested(matrix)) return 'Nothing was tested, so it is not known what has to be fixed.';
  const open = matrix.endpoints.some(
    ({ verdict, facts }) => verdict === 'unproven' || facts.some(({ state }) => state === 'unproven'),
  );
  return open ? 'Nothing to fix was found in what could be tested.' : 'There is nothing to fix.';
}

function tally({ summary, endpoints }: Matrix): string {
  const parts = [
    `${summary.matches} ${plural(summary.matches, 'matches', 'match')}`,
    `${summary.differs} ${plural(summary.differs, 'differs', 'differ')}`,
    `${summary.missing} ${plural(summary.missing, 'is', 'are')} missing`,
    `${summary.unproven} ${plural(summary.unproven, 'is', 'are')} unproven`,
  ];
  const { facts } = summary;
  const stated = facts.matches + facts.differs + facts.missing + facts.unproven;
  const proven =
    stated === 0 ? '' : ` Of ${count(stated, 'planned fact')}, ${stated - facts.unproven} were tested.`;
  return `Of ${count(endpoints.length, 'planned endpoint')}, ${list(parts)}.${proven}`;
}
