/** The review as a page, in the look of the handover: what the customer must decide, what to free before the visit, what to bring. */
import type { Finding, GroupResult, NetworkCapacity } from '../matrix/matrix.js';
import { singlePointWords } from '../result/group-words.js';
import { headingOf, type Job, jobListOf } from '../result/jobs.js';
import { reviewHeadline } from '../review/headline.js';
import type { VisitItem, VisitList } from '../review/packing.js';
import { GROUP_MARKS } from '../text/marks.js';
import { documentMarkup } from './document.js';
import { items, prose, table, text } from './markup.js';
import { capacitySection } from './observations.js';
import { NO_SCRIPT } from './script.js';
import { BASE } from './style/base.js';
import { DRAWINGS } from './style/drawings.js';
import { printStyle } from './style/print.js';
import { SHEET_ONE } from './style/sheet.js';
import { TABLES } from './style/tables.js';
import { WORKSHEET } from './style/worksheet.js';

export interface ReviewPage {
  readonly site: string;
  readonly reference?: string | undefined;
  readonly version: string;
  readonly files: readonly { readonly name: string }[];
  readonly findings: readonly Finding[];
  readonly groups: readonly GroupResult[];
  readonly capacity: readonly NetworkCapacity[];
  readonly visit: VisitList;
}

export function renderReviewPage(review: ReviewPage): string {
  const { site, reference, findings, groups, capacity, visit, version } = review;
  const { jobs, notes } = jobListOf(findings);
  const name = `${site}${reference === undefined ? '' : `, ${reference}`}`;
  const state = findings.some(({ severity }) => severity === 'stop')
    ? 'stop'
    : jobs.length > 0
      ? 'fix'
      : 'ready';
  return documentMarkup({
    title: `${name}: review of the plan`,
    style: [BASE, SHEET_ONE, WORKSHEET, TABLES, DRAWINGS, printStyle(`${name} | review of the plan`)].join(
      '',
    ),
    script: NO_SCRIPT,
    first: `<section id="outcome" aria-labelledby="outcome-h"><header class="sheet"><h1>${text(site, 160)}</h1><p>Review of the plan, before the visit</p><dl><div><dt>Reference</dt><dd>${text(reference ?? 'none', 80)}</dd></div><div><dt>Plan</dt><dd>${text(review.files.map((file) => file.name).join(', '), 200)}</dd></div></dl></header>
<div class="outcome ${state}"><h2 id="outcome-h">${text(reviewHeadline(findings), 400)}</h2></div></section>`,
    sections: [
      { id: 'decide', title: 'To decide before the visit', body: decide(jobs) },
      {
        id: 'free',
        title: 'The site must have ready',
        body: visitTable('The site must have ready', visit.free),
      },
      { id: 'bring', title: 'To bring', body: visitTable('To bring', visit.bring) },
      { id: 'groups', title: 'Redundancy as planned', body: groupsAsPlanned(groups) },
      { id: 'left', title: 'Addresses', body: capacitySection({ capacity }) },
      {
        id: 'notes',
        title: 'Notes',
        body: items(
          notes.map(
            ({ finding }) => `<b>${prose(headingOf(finding), 200)}.</b> ${prose(finding.message, 500)}`,
          ),
        ),
      },
    ],
    version,
  });
}

function decide(jobs: readonly Job[]): string {
  return table(
    'To decide before the visit',
    ['No.', 'What', 'In full', 'What to do', 'Decided by, when'],
    jobs.map(({ number, finding }) => [
      String(number),
      `<b class="${finding.severity === 'stop' ? 'd' : ''}">${text(finding.severity)}</b> ${prose(headingOf(finding), 200)}`,
      prose(finding.message, 600),
      prose(finding.advice, 600),
      '<span class="blank"></span>',
    ]),
  );
}

/** With a box to tick: it is a list for hands. */
function visitTable(caption: string, lines: readonly VisitItem[]): string {
  return table(
    caption,
    ['What', 'How much, and where', 'Done'],
    lines.map(({ what, text: words }) => [text(what, 80), prose(words, 500), '<span class="blank"></span>']),
  );
}

function groupsAsPlanned(groups: readonly GroupResult[]): string {
  return table(
    'Redundancy as planned',
    ['Group', 'Verdict', 'Would end it'],
    groups.map(({ name, asPlanned }) => {
      const { sign, word } = GROUP_MARKS[asPlanned.verdict];
      return [
        text(name, 80),
        `${sign} ${word}`,
        prose(singlePointWords(asPlanned.singlePoints), 300) || 'no single failure',
      ];
    }),
  );
}
