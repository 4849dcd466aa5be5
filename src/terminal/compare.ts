/** A comparison as terminal text, in the words of its page. */
import type { Comparison } from '../compare/types.js';
import { comparedSections, comparisonHeadline, sayRow, worseLines } from '../compare/words.js';
import { cleanText } from '../text/clean.js';
import { list } from '../text/sentence.js';
import { timeWords } from '../text/time.js';
import { ink, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

export function renderComparison(comparison: Comparison, style: TextStyle): string {
  const inks = comparison.worse ? (['bold', 'red'] as const) : (['bold'] as const);
  const sections = comparedSections(comparison).map(
    ({ title, rows }) =>
      `${ink(style, wrap(style, title).trimEnd(), 'bold')}\n${rows.map((row) => wrap(style, sayRow(row), '  ', '      ')).join('')}`,
  );
  const closing = ink(style, wrap(style, comparisonHeadline(comparison)).trimEnd(), ...inks).concat('\n');
  return [heading(comparison, style), ...sections, closing].join('\n');
}

/** The same for --quiet, beside the new findings. */
export function renderWorse(comparison: Comparison, style: TextStyle): string {
  return worseLines(comparison)
    .map((line) => wrap(style, line, '', '    '))
    .join('');
}

function heading({ old, new: fresh }: Comparison, style: TextStyle): string {
  const from = `${cleanText(old.site)}, ${cleanText(timeWords(old.startedAt))} from ${list(old.vantages.map((name) => cleanText(name)))}`;
  const to = `${cleanText(fresh.site)}, ${cleanText(timeWords(fresh.startedAt))} from ${list(fresh.vantages.map((name) => cleanText(name)))}`;
  return `${wrap(style, from, 'Before: ')}${wrap(style, to, 'Now:    ')}`;
}
