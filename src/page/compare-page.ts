/** A comparison as a page, in the look of the handover: what got worse first, then what changed, then what was fixed. */

import type { Comparison } from '../compare/types.js';
import { type ComparedSection, comparedSections, comparisonHeadline } from '../compare/words.js';
import { list } from '../text/sentence.js';
import { documentMarkup } from './document.js';
import { BASE } from './look/base.js';
import { printLook } from './look/print.js';
import { SHEET_ONE } from './look/sheet.js';
import { TABLES } from './look/tables.js';
import { WORKSHEET } from './look/worksheet.js';
import { items, text } from './markup.js';
import { NO_SCRIPT } from './script.js';
import { time } from './time.js';

const LINE_LIMIT = 1200;

export function renderComparePage(comparison: Comparison): string {
  const { old, new: fresh, worse, version } = comparison;
  const side = (label: string, run: Comparison['old']): string =>
    `<div><dt>${label}</dt><dd>${time(run.startedAt)}, from ${text(list(run.vantages), 200)}</dd></div>`;
  return documentMarkup({
    title: `${fresh.site}: what changed`,
    style: [BASE, SHEET_ONE, WORKSHEET, TABLES, printLook(`${fresh.site} | what changed`)].join(''),
    script: NO_SCRIPT,
    first: `<section id="outcome" aria-labelledby="outcome-h"><header class="sheet"><h1>${text(fresh.site, 160)}</h1><p>What changed since an earlier look</p><dl>${side('Before', old)}${side('Now', fresh)}</dl></header>
<div class="outcome ${worse ? 'fix' : 'ready'}"><h2 id="outcome-h">${text(comparisonHeadline(comparison), 400)}</h2></div></section>`,
    sections: comparedSections(comparison).map(({ title, lines }: ComparedSection, index) => ({
      id: `s${index + 1}`,
      title: text(title),
      body: items(lines.map((line) => text(line, LINE_LIMIT))),
    })),
    version,
  });
}
