import type { Matrix } from '../matrix/matrix.js';
import { outcomeOf } from '../result/outcome.js';
import { onAnotherSwitch } from '../result/relate.js';
import { MARKS } from '../text/marks.js';
import { type FindingsOptions, renderFindings } from './findings.js';
import { renderGroups } from './groups.js';
import { renderOpenEnds } from './open-ends.js';
import { type Ink, ink, signOf, type TextStyle } from './style.js';
import { widthOf, wrap } from './wrap.js';

const INKS: Readonly<Record<'matches' | 'differs' | 'missing' | 'unproven', readonly Ink[]>> = {
  matches: [],
  differs: ['yellow'],
  missing: ['red'],
  unproven: ['dim'],
};

/** The outcome in one line, then what is wrong and what to do, then the counts, the groups, and how far the run could see. */
export function renderSummary(matrix: Matrix, style: FindingsOptions): string {
  const { headline, sentences, state } = outcomeOf(matrix);
  const inks: readonly Ink[] = state === 'ready' || state === 'open' ? ['bold'] : ['bold', 'red'];
  const parts = [
    ink(style, wrap(style, headline).trimEnd(), ...inks).concat('\n'),
    renderFindings(matrix.findings, { ...style, briefNotes: true, onAnotherSwitch: onAnotherSwitch(matrix) }),
    counts(matrix, style),
    renderGroups(matrix.groups, style),
    sentences.map((line) => wrap(style, line)).join(''),
    renderOpenEnds(matrix, style),
    matrix.findings.length === 0 ? '' : wrap(style, closing(style)),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

function closing({ all }: FindingsOptions): string {
  const more = 'matchmark explain CODE says more about each code in brackets';
  return all === true ? `${more}.` : `${more}; the page has every finding in full.`;
}

function counts({ summary, plan, vantages }: Matrix, style: TextStyle): string {
  const verdicts = (['matches', 'differs', 'missing', 'unproven'] as const).map((verdict) => {
    const amount = summary[verdict];
    const words = `${signOf(style, MARKS[verdict])} ${amount} ${verdict}`;
    return ink(style, words, ...(amount > 0 ? INKS[verdict] : ['dim' as const]));
  });
  const from = vantages.map(({ name }) => name).join(', ');
  const line = `  ${verdicts.join('   ')}`;
  const lines = widthOf(line) < style.width ? [line] : verdicts.map((words) => `  ${words}`);
  return `${wrap(style, `${plan.site}, from ${from}`)}${lines.join('\n')}\n`;
}
