/** Each job in full once, with what follows from it folded beneath, the command to check again, and a place to sign it off by hand. */

import { titleOf } from '../findings/rule-of.js';
import type { Matrix } from '../matrix/matrix.js';
import { checkAgain } from '../result/check-again.js';
import { followingWords, headingOf, type Job } from '../result/jobs.js';
import { noJobsSentence } from '../result/outcome-words.js';
import { evidenceLines, lineInRun } from '../result/shown-evidence.js';
import { groupBy } from '../text/group-by.js';
import { capital, count } from '../text/sentence.js';
import { command, items, prose, table, text } from './markup.js';
import { endpointLink, jobLinks, type Places } from './places.js';

/** Of one kind, this many stand open; the rest are folded. */
const OPEN_OF_A_KIND = 6;
const LINKS_SHOWN = 12;
const HEADING_LIMIT = 200;
const EVIDENCE_SHOWN = 6;
const NOTES_OF_A_KIND = 8;
const TICK =
  '<p class="tick" aria-hidden="true"><span class="box"></span> done <span class="ini"></span> initials</p>';

const SEVERITIES = [
  {
    severity: 'stop',
    heading: 'Make these safe first',
    lead: 'Do not go on with the work before these are done.',
  },
  { severity: 'fix', heading: 'Fix before handover', lead: '' },
] as const;

export function jobsSection(matrix: Matrix, places: Places): string {
  const { jobs } = places.jobList;
  if (jobs.length === 0) return `<p>${noJobsSentence(matrix)}</p>`;
  return SEVERITIES.map(({ severity, heading, lead }) => {
    const own = jobs.filter(({ finding }) => finding.severity === severity);
    if (own.length === 0) return '';
    const kinds = [...groupBy(own, ({ finding }) => finding.code)];
    const body = kinds.map(([code, kind]) => kindBlock(code, kind, matrix, places)).join('\n');
    return `<section class="worksheet ${severity}"><h3>${heading}</h3>${lead === '' ? '' : `<p>${lead}</p>`}
${body}</section>`;
  }).join('\n');
}

/** What holds nothing up, in a table: there may be many, so that those of a kind share a row. */
export function notesTable(places: Places): string {
  const kinds = [...groupBy(places.jobList.notes, ({ finding }) => finding.code).values()];
  const rows = kinds.map((kind) => {
    const shown = kind.slice(0, NOTES_OF_A_KIND);
    const hidden = kind.length - shown.length;
    const [first] = kind;
    const numbers = kind.map(({ number }) => `<span id="f${number}">${number}</span>`);
    return [
      numbers.join(', '),
      text(titleOf(first?.finding.code ?? ''), HEADING_LIMIT),
      shown.map(({ finding }) => prose(finding.message, 300)).join('<br>') +
        (hidden > 0 ? `<br>and ${hidden} more` : ''),
      prose(first?.finding.advice ?? '', 400),
    ];
  });
  return table('Notes', ['No.', 'What', 'In full', 'What you can do'], rows, 'notes');
}

function kindBlock(kind: string, jobs: readonly Job[], matrix: Matrix, places: Places): string {
  const open = jobs.slice(0, OPEN_OF_A_KIND);
  const folded = jobs.slice(OPEN_OF_A_KIND);
  const rest =
    folded.length === 0
      ? ''
      : `<details class="more"><summary>${folded.length} more: ${text(titleOf(kind))}</summary>${list(folded, matrix, places)}</details>`;
  return list(open, matrix, places) + rest;
}

function list(jobs: readonly Job[], matrix: Matrix, places: Places): string {
  return `<ol class="items" start="${jobs[0]?.number ?? 1}">${jobs.map((job) => item(job, matrix, places)).join('\n')}</ol>`;
}

function item(job: Job, matrix: Matrix, places: Places): string {
  const { number, finding } = job;
  const about = places.about.get(number) ?? [];
  const seen = items(
    evidenceLines(finding)
      .slice(0, EVIDENCE_SHOWN)
      .map((line) => prose(lineInRun(line, matrix))),
    'seen',
  );
  const hidden = finding.evidence.length - EVIDENCE_SHOWN;
  const more = hidden > 0 ? `<p>${count(hidden, 'more line')} in the result.</p>` : '';
  const proof = seen === '' ? '' : `<div class="proof"><b>Seen:</b>${seen}${more}</div>`;
  return `<li id="f${number}" class="item"><p class="what"><span class="no">${number}</span> <b class="sev">${text(finding.severity)}</b> <b class="title">${prose(headingOf(finding), HEADING_LIMIT)}</b></p>
<p class="left">${prose(finding.message, 600)}</p>
<p class="do"><b>Do:</b> ${prose(finding.advice, 600)}</p>
<div class="foot">${proof}<p class="at">${links(about, finding.subject, places)}Check again: ${command(checkAgain(matrix, finding, about))} <span class="code">${text(finding.code)}</span></p>${following(job)}</div>${TICK}</li>`;
}

/** Done with the job, so there is nothing to tick; on paper it stands open. */
function following(job: Job): string {
  if (job.follows.length === 0) return '';
  const lines = job.follows.map(({ label, finding, also }) => {
    const others = also.length === 0 ? '' : ` (also ${jobLinks(also)})`;
    return `<span class="no">${label}</span> <b>${prose(headingOf(finding), HEADING_LIMIT)}</b>${others}<span class="msg">. ${prose(finding.message, 600)}</span>`;
  });
  return `<details class="follows"><summary>${capital(followingWords(job))}</summary>${items(lines, 'tight')}</details>`;
}

function links(ids: readonly string[], subject: string, places: Places): string {
  const group = places.groups.get(subject);
  const device = places.devices.get(subject);
  const parts: string[] = [];
  if (group !== undefined) parts.push(`Group: <a href="#g${group}">${text(subject)}</a>`);
  if (device !== undefined) parts.push(`Device: <a href="#d${device}">${text(subject)}</a>`);
  if (ids.length > 0) {
    const shown = ids.slice(0, LINKS_SHOWN).map((id) => endpointLink(places, id, text(id)));
    const hidden = ids.length - shown.length;
    parts.push(`In the matrix: ${shown.join(', ')}${hidden > 0 ? ` and ${count(hidden, 'other')}` : ''}`);
  }
  return parts.length === 0 ? '' : `${parts.join(' · ')} · `;
}
