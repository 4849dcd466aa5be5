/** A result on one screen: the outcome, the jobs, the notes, the counts, redundancy, and what is unproven with how to prove it. */
import type { Matrix } from '../matrix/matrix.js';
import { jobListOf } from '../result/jobs.js';
import { onAnotherSwitch } from '../result/on-another-switch.js';
import { outcomeOf } from '../result/outcome.js';
import { outcomeSentences } from '../result/outcome-words.js';
import { groupJobs } from '../result/relate.js';
import { MARKS } from '../text/marks.js';
import { type Detail, renderJobs } from './findings.js';
import { renderGroups } from './groups.js';
import { renderOpenEnds } from './open-ends.js';
import { type Ink, ink, inkOf, signOf, type TextStyle } from './style.js';
import { widthOf, wrap } from './wrap.js';

export interface SummaryOptions extends TextStyle {
  /** Write everything out, however long it gets. */
  readonly all?: boolean;
}

/** Lines of one screen. A site of 16 endpoints fits; a larger one is told as briefly as it takes. */
export const SCREEN_LINES = 40;

/** From the most that is said to the least: the first that fits a screen is shown. */
const BRIEFER: readonly { readonly detail: Detail; readonly brief: boolean }[] = [
  { detail: 'told', brief: false },
  { detail: 'advice', brief: false },
  { detail: 'advice', brief: true },
  { detail: 'heading', brief: true },
  { detail: 'kind', brief: true },
];

export function renderSummary(matrix: Matrix, options: SummaryOptions): string {
  if (options.all === true) return render(matrix, options, 'all', false);
  const texts = BRIEFER.map(
    ({ detail, brief }) =>
      () =>
        render(matrix, options, detail, brief),
  );
  let text = '';
  for (const make of texts) {
    text = make();
    if (text.split('\n').length - 1 <= SCREEN_LINES) return text;
  }
  return text;
}

function render(matrix: Matrix, options: SummaryOptions, detail: Detail, brief: boolean): string {
  const { headline, state } = matrix.outcome ?? outcomeOf(matrix);
  const jobList = jobListOf(matrix.findings, onAnotherSwitch(matrix));
  const inks: readonly Ink[] = state === 'ready' || state === 'open' ? ['bold'] : ['bold', 'red'];
  const all = detail === 'all';
  const sentences = outcomeSentences(matrix, true);
  const parts = [
    ink(options, wrap(options, headline).trimEnd(), ...inks).concat('\n'),
    renderJobs(jobList, { ...options, detail, notes: all ? 'full' : brief ? 'line' : 'kinds' }),
    counts(matrix, options),
    renderGroups(matrix.groups, { ...options, brief, jobOf: groupJobs(jobList) }),
    sentences.map((line) => wrap(options, line)).join('') +
      renderOpenEnds(matrix, options, all ? Number.POSITIVE_INFINITY : brief ? 1 : 3),
    matrix.findings.length === 0 ? '' : wrap(options, closing(all)),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

function closing(all: boolean): string {
  const more = 'matchmark explain CODE says more about each code in brackets';
  return all
    ? `${more}.`
    : 'matchmark explain CODE says more about a code; matchmark report RUN shows everything.';
}

function counts({ summary, plan, vantages }: Matrix, style: TextStyle): string {
  const verdicts = (['matches', 'differs', 'missing', 'unproven'] as const).map((verdict) => {
    const amount = summary[verdict];
    const words = `${signOf(style, MARKS[verdict])} ${amount} ${verdict}`;
    return ink(style, words, ...(amount > 0 ? inkOf(MARKS[verdict].tone) : ['dim' as const]));
  });
  const from = vantages.length === 0 ? 'nowhere' : vantages.map(({ name }) => name).join(', ');
  const line = `  ${verdicts.join('   ')}`;
  const lines = widthOf(line) < style.width ? [line] : verdicts.map((words) => `  ${words}`);
  return `${wrap(style, `${plan.site}, looked at from ${from}`)}${lines.join('\n')}\n`;
}
