/** A comparison as a page, in the look of the handover: what got worse first, then what changed, then what was fixed. */

import type { ComparedRow, ComparedSection } from '../compare/section.js';
import type { Comparison } from '../compare/types.js';
import { comparedSections, comparisonHeadline } from '../compare/words.js';
import { list } from '../text/sentence.js';
import { documentMarkup } from './document.js';
import { items, prose, table, text } from './markup.js';
import { NO_SCRIPT } from './script.js';
import { BASE } from './style/base.js';
import { printStyle } from './style/print.js';
import { SHEET_ONE } from './style/sheet.js';
import { TABLES } from './style/tables.js';
import { WORKSHEET } from './style/worksheet.js';
import { time } from './time.js';

const CELL_LIMIT = 800;

const COLUMNS: readonly { readonly head: string; readonly of: (row: ComparedRow) => string }[] = [
  { head: 'Before', of: ({ before = '' }) => prose(before, CELL_LIMIT) },
  { head: 'Now', of: ({ now = '' }) => prose(now, CELL_LIMIT) },
  { head: 'What is to be said of it', of: ({ more = '' }) => prose(more, CELL_LIMIT) },
];

export function renderComparePage(comparison: Comparison): string {
  const { old, new: fresh, worse, version } = comparison;
  const side = (label: string, run: Comparison['old']): string =>
    `<div><dt>${label}</dt><dd>${time(run.startedAt)}, from ${text(list(run.vantages), 200)}</dd></div>`;
  return documentMarkup({
    title: `${fresh.site}: what changed`,
    style: [BASE, SHEET_ONE, WORKSHEET, TABLES, printStyle(`${fresh.site} | what changed`)].join(''),
    script: NO_SCRIPT,
    first: `<section id="outcome" aria-labelledby="outcome-h"><header class="sheet"><h1>${text(fresh.site, 160)}</h1><p>What changed since an earlier look</p><dl>${side('Before', old)}${side('Now', fresh)}</dl></header>
<div class="outcome ${worse ? 'fix' : 'ready'}"><h2 id="outcome-h">${text(comparisonHeadline(comparison), 400)}</h2></div></section>`,
    sections: comparedSections(comparison).map((section) => ({
      id: section.id,
      title: text(section.title),
      body: rowsMarkup(section),
    })),
    version,
  });
}

/** Lines where a row is one thing, else a table without the columns that nothing stands in. */
function rowsMarkup({ title, rows }: ComparedSection): string {
  const columns = COLUMNS.filter(({ of }) => rows.some((row) => of(row) !== ''));
  if (columns.length === 0) return items(rows.map(({ what }) => prose(what, CELL_LIMIT)));
  return table(
    title,
    ['What', ...columns.map(({ head }) => head)],
    rows.map((row) => [
      `${row.worse === true ? '<b class="d">worse</b> ' : ''}${prose(row.what, CELL_LIMIT)}`,
      ...columns.map(({ of }) => of(row)),
    ]),
  );
}
