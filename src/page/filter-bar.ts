import type { Matrix } from '../matrix/matrix.js';
import { MARKS } from '../text/marks.js';
import { text } from './markup.js';
import type { Places } from './places.js';

const VERDICTS = ['matches', 'differs', 'missing', 'unproven'] as const;

/** Hidden until the script shows it: without scripts nothing on the page is dead. */
export function filterBar({ summary }: Matrix, places: Places): string {
  const devices = [...places.devices]
    .map(([name, number]) => `<option value="${number}">${text(name, 80)}</option>`)
    .join('');
  const verdicts = VERDICTS.map(
    (verdict) =>
      `<label><input type="checkbox" value="${verdict}" checked> ${MARKS[verdict].sign} ${verdict} (${summary[verdict]})</label>`,
  ).join('');
  return `<div class="filter" id="filter" role="search" aria-label="Filter the matrix and the evidence" hidden><label>Text <input type="search" id="ft" autocomplete="off"></label><label>Device <select id="fd"><option value="">all</option>${devices}</select></label>${verdicts}<button type="button" id="fc">Show all</button><span id="fn" role="status"></span></div>`;
}
