/** Sheet one, for the person who signs: what was checked, the outcome, the site as one drawing, the jobs, the groups, the signatures. */

import { titleOf } from '../findings/rule-of.js';
import type { GroupResult, GroupVerdict, Matrix } from '../matrix/matrix.js';
import { singlePointWords } from '../result/group-words.js';
import { followingWords, headingOf, type Job } from '../result/jobs.js';
import { outcomeOf } from '../result/outcome.js';
import { noJobsSentence, outcomeSentences } from '../result/outcome-words.js';
import { cleanText } from '../text/clean.js';
import { groupBy } from '../text/group-by.js';
import { GROUP_MARKS } from '../text/marks.js';
import { count, list, plural } from '../text/sentence.js';
import { code, prose, table, text } from './markup.js';
import { jobNumbers, type Places } from './places.js';
import { roomOf } from './sheet-room.js';
import { siteDrawing, siteHeight } from './site-drawing.js';
import { layOutSite } from './site-layout.js';
import { siteMosaic } from './site-mosaic.js';
import { siteWords } from './site-words.js';
import { timeSpan } from './time.js';

/** Past this many devices a drawing of lines is no overview any more. */
const DEVICES_DRAWN = 24;
const JOB_CHARACTERS = 118;
const SUBJECTS_NAMED = 4;
const SENTENCES_SHOWN = 5;
const POINTS_NAMED = 3;
const MOST_ROW_LINES = 3;
const WORST: readonly GroupVerdict[] = ['lost', 'at-risk', 'unproven', 'redundant'];

export function firstSheet(matrix: Matrix, places: Places, digest: string | undefined): string {
  const { state, headline } = matrix.outcome ?? outcomeOf(matrix);
  const sentences = outcomeSentences(matrix).slice(0, SENTENCES_SHOWN);
  const { jobs, notes } = places.jobList;
  const wanted = { headline, sentences, jobs: jobs.length, groups: sortedGroups(matrix).map(rowsOfGroup) };
  const lined = drawnHeight(matrix, places);
  const picture = drawing(matrix, places, roomOf({ ...wanted, drawing: lined }).drawing);
  // What the picture does not need goes to the lists.
  const whole = roomOf({ ...wanted, drawing: picture.height });
  const kinds = kindsOf(jobs).length;
  const room = whole.jobs < jobs.length ? roomOf({ ...wanted, jobs: kinds, drawing: picture.height }) : whole;
  return `<section id="outcome" class="first" aria-labelledby="outcome-h">
${titleBlock(matrix, places)}
<div class="outcome ${state}"><h2 id="outcome-h">${text(headline, 350)}</h2><p>${text(sentences.join(' '), 600)}</p></div>
${picture.markup}
${jobLines(matrix, jobs, notes.length, room.jobs)}
${groupsTable(matrix, places, room.groups)}
${signatures(jobs.length, digest)}
</section>`;
}

function titleBlock(matrix: Matrix, { zoneMinutes }: Places): string {
  const { run, plan, vantages } = matrix;
  const fields: readonly (readonly [string, string])[] = [
    ['Reference', text(plan.reference ?? 'none', 80)],
    ['When', timeSpan(run.startedAt, run.finishedAt, zoneMinutes)],
    ['Looked from', text(list(vantages.map(({ name }) => name)), 200)],
    ['Looked at by', run.by === undefined ? '<span class="blank"></span>' : text(run.by, 80)],
    ...(run.stage === 'power-on' ? ([['Stage', 'power-on, before configuration']] as const) : []),
    ...(run.only === undefined ? [] : ([['Looked at', text(`${list(run.only)} only`, 120)]] as const)),
  ];
  return `<header class="sheet"><h1>${text(plan.site, 160)}</h1><p>Handover: what was planned, and what was found</p><dl>${fields.map(([label, value]) => `<div><dt>${label}</dt><dd>${value}</dd></div>`).join('')}</dl></header>`;
}

function isDrawn({ endpoints }: Matrix): boolean {
  return endpoints.length > 0 && new Set(endpoints.map(({ device }) => device)).size <= DEVICES_DRAWN;
}

/** What the drawing would take; 0 where the site is too large for one. */
function drawnHeight(matrix: Matrix, places: Places): number {
  return isDrawn(matrix) ? siteHeight(layOutSite(matrix, places.jobsOf)) : 0;
}

function drawing(matrix: Matrix, places: Places, room: number): Picture {
  if (matrix.endpoints.length === 0) return { markup: '', height: 1 };
  const height = drawnHeight(matrix, places);
  const lined = isDrawn(matrix) && height <= room;
  const picture = lined
    ? { markup: siteDrawing(layOutSite(matrix, places.jobsOf), matrix.plan.site), height }
    : siteMosaic(matrix, room);
  return {
    markup: `<div class="overview">${picture.markup}${siteWords(matrix, places, lined)}</div>`,
    height: picture.height,
  };
}

interface Picture {
  readonly markup: string;
  readonly height: number;
}

/** One line a job; where there are more than fit, one line for all of a kind. */
function jobLines(matrix: Matrix, jobs: readonly Job[], notes: number, shown: number): string {
  const noted =
    notes === 0 ? '' : ` ${count(notes, 'note')} ${plural(notes, 'stands', 'stand')} in the part Notes.`;
  if (jobs.length === 0) return `<h3>Jobs</h3><p>${noJobsSentence(matrix)}${noted}</p>`;
  const kinds = jobs.length <= shown ? jobs.map((job) => [job]) : kindsOf(jobs);
  const lines = kinds.slice(0, shown);
  const hidden = kinds.slice(shown).reduce((sum, kind) => sum + kind.length, 0);
  const more = [hidden > 0 ? `${count(hidden, 'more job')} in the part Jobs.` : '', noted.trim()].filter(
    (part) => part !== '',
  );
  return `<h3>Jobs</h3><ul class="job-lines">${lines.map(jobLine).join('')}</ul>${more.length === 0 ? '' : `<p>${more.join(' ')}</p>`}`;
}

function kindsOf(jobs: readonly Job[]): readonly (readonly Job[])[] {
  return [...groupBy(jobs, ({ finding }) => `${finding.severity} ${finding.code}`).values()];
}

function jobLine(kind: readonly Job[]): string {
  const [first] = kind;
  const last = kind.at(-1);
  if (first === undefined || last === undefined) return '';
  const { severity, code: findingCode } = first.finding;
  const following = followingWords(first);
  const words =
    first === last
      ? `${headingOf(first.finding)}${following === '' ? '' : `; ${following}`}`
      : `${titleOf(findingCode)}: ${list(
          kind.map(({ finding }) => finding.subject),
          SUBJECTS_NAMED,
        )}`;
  const letters = [...cleanText(words)];
  const cut = letters.length > JOB_CHARACTERS ? `${letters.slice(0, JOB_CHARACTERS).join('')}…` : words;
  const numbers = `<a href="#f${first.number}">${first.number}</a>${first === last ? '' : `–<a href="#f${last.number}">${last.number}</a>`}`;
  return `<li class="${severity}"><span class="box" aria-hidden="true"></span>${numbers} <b>${severity === 'stop' ? 'Stop' : 'Fix'}</b> ${prose(cut, JOB_CHARACTERS + 4)}</li>`;
}

/** Worst first; groups that are redundant stand in one row where there is no room for more. */
function groupsTable({ groups }: Matrix, places: Places, shown: number): string {
  if (groups.length === 0) return '<h3>Redundancy</h3><p>The plan names no redundancy group.</p>';
  const sorted = sortedGroups({ groups });
  const rows = sorted.slice(0, shown).map((group) => groupRow(group, places));
  const rest = sorted.slice(shown);
  const told = WORST.flatMap((verdict) => {
    const amount = rest.filter((group) => group.verdict === verdict).length;
    return amount === 0 ? [] : [`${GROUP_MARKS[verdict].sign} ${amount} ${GROUP_MARKS[verdict].word}`];
  });
  const more = rest.length === 0 ? '' : `<p>${count(rest.length, 'more group')}: ${list(told)}.</p>`;
  return `<h3>Redundancy</h3>${table('Redundancy', ['Group', 'Verdict', 'Work', 'Would end it', 'Job'], rows, 'groups-table')}${more}`;
}

function sortedGroups({ groups }: Pick<Matrix, 'groups'>): readonly GroupResult[] {
  return [...groups].sort((a, b) => WORST.indexOf(a.verdict) - WORST.indexOf(b.verdict));
}

/** Lines that a row takes on paper. */
function rowsOfGroup({ name, singlePoints }: GroupResult): number {
  const points = singlePointWords(singlePoints, POINTS_NAMED).length;
  return Math.min(MOST_ROW_LINES, Math.max(Math.ceil(name.length / 30), Math.ceil(points / 50), 1));
}

function groupRow(group: GroupResult, places: Places): string[] {
  const mark = GROUP_MARKS[group.verdict];
  const number = places.groups.get(group.name);
  const points = singlePointWords(group.singlePoints, POINTS_NAMED);
  return [
    number === undefined ? text(group.name, 80) : `<a href="#g${number}">${text(group.name, 80)}</a>`,
    `<span class="verdict ${group.verdict}"><b>${mark.sign}</b> ${mark.word}</span>`,
    `${group.live.length} of ${Math.max(group.paths.length, group.planned.length)}, needs ${group.need}`,
    points === '' ? (group.verdict === 'redundant' ? 'no single failure' : '–') : text(points, 200),
    jobNumbers(places.jobsOfGroup.get(group.name) ?? [], 3) || '–',
  ];
}

const SIGNERS = ['Installed and measured by', 'Checked by', 'Received for the customer by'];

/** The digest is that of matrix.json; who signs the paper signs that result. */
function signatures(jobs: number, digest: string | undefined): string {
  const known =
    jobs === 0
      ? ''
      : `<p>${count(jobs, 'job')} ${plural(jobs, 'was', 'were')} open when this was written. Who signs knows of ${plural(jobs, 'it', 'them')}.</p>`;
  const rows = ['Name', 'Signature', 'Date'].map((label) => [
    label,
    ...SIGNERS.map(() => '<span class="blank"></span>'),
  ]);
  const whose =
    digest === undefined
      ? ''
      : `<p class="aside">This paper shows the result whose SHA-256 begins with ${code(digest.slice(0, 16).replace(/(.{8})(?=.)/, '$1 '), 40)}; the whole of it stands in the appendix.</p>`;
  return `<div class="signatures"><h3>Signatures</h3>${known}${table('Signatures', ['', ...SIGNERS], rows, 'signing')}${whose}</div>`;
}
