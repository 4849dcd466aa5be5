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
import { LOWEST_DRAWING, type Room, roomOf } from './sheet-room.js';
import { siteDrawing, siteHeight } from './site-drawing.js';
import { layOutSite } from './site-layout.js';
import { siteMosaic } from './site-mosaic.js';
import { siteWords } from './site-words.js';
import { timeSpan } from './time.js';

/** Past this many devices a drawing of lines is no overview any more. */
const DEVICES_DRAWN = 24;
/** Of a drawing of lines on paper: Letter, the wider one, is a little narrower than the drawing (style/print.ts, site-layout.ts). */
const SCALE = 0.97;
const JOB_CHARACTERS = 118;
const SUBJECTS_NAMED = 4;
const SENTENCES_SHOWN = 5;
const POINTS_NAMED = 3;
const MOST_ROW_LINES = 3;
/** Of the names of groups that share a row. */
const ROW_LETTERS = 84;
/** Names up to this length are not broken. */
const WHOLE_NAME = 24;
const NAME_LETTERS = 80;
const WORST: readonly GroupVerdict[] = ['lost', 'at-risk', 'unproven', 'redundant'];

export function firstSheet(matrix: Matrix, places: Places, digest: string | undefined): string {
  const { state, headline } = matrix.outcome ?? outcomeOf(matrix);
  const sentences = outcomeSentences(matrix).slice(0, SENTENCES_SHOWN);
  const { jobs, notes } = places.jobList;
  const lined = drawnHeight(matrix, places);
  const groups = sortedGroups(matrix);
  const wanted = { headline, sentences, jobs: jobs.length };
  const lay = (rows: readonly GroupRow[], lowest = Number.POSITIVE_INFINITY): Layout => {
    const asked = { ...wanted, groups: rows.map(linesOf) };
    const picture = drawing(matrix, places, Math.min(lowest, roomOf({ ...asked, drawing: lined }).drawing));
    // What the picture does not need goes to the lists.
    const whole = roomOf({ ...asked, drawing: picture.height });
    const kinds = kindsOf(jobs).length;
    const room =
      whole.jobs < jobs.length ? roomOf({ ...asked, jobs: kinds, drawing: picture.height }) : whole;
    return { rows, picture, room };
  };
  const single = lay(groups.map((group) => [group]));
  const cramped = hidesGroups(single) || (lined > 0 && !single.picture.lined);
  const shared = cramped ? lay(alike(groups, places)) : single;
  // A mosaic says the same with smaller squares.
  const { rows, picture, room } =
    hidesGroups(shared) && !shared.picture.lined ? lay(shared.rows, LOWEST_DRAWING) : shared;
  return `<section id="outcome" class="first" aria-labelledby="outcome-h">
${titleBlock(matrix, places)}
<div class="outcome ${state}"><h2 id="outcome-h">${text(headline, 350)}</h2><p>${text(sentences.join(' '), 600)}</p></div>
${picture.markup}
${jobLines(matrix, jobs, notes.length, room.jobs)}
${groupsTable(rows, places, room.groups)}
${signatures(jobs.length, digest)}
</section>`;
}

interface Layout {
  readonly rows: readonly GroupRow[];
  readonly picture: Picture;
  readonly room: Room;
}

function hidesGroups({ rows, room }: Layout): boolean {
  return room.groups < rows.length;
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
  return isDrawn(matrix) ? siteHeight(layOutSite(matrix, places.jobsOf)) * SCALE : 0;
}

function drawing(matrix: Matrix, places: Places, room: number): Picture {
  if (matrix.endpoints.length === 0) return { markup: '', height: 1, lined: false };
  const height = drawnHeight(matrix, places);
  const lined = isDrawn(matrix) && height <= room;
  const picture = lined
    ? { markup: siteDrawing(layOutSite(matrix, places.jobsOf), matrix.plan.site), height }
    : siteMosaic(matrix, room);
  return {
    markup: `<div class="overview">${picture.markup}${siteWords(matrix, places, lined)}</div>`,
    height: picture.height,
    lined,
  };
}

interface Picture {
  readonly markup: string;
  readonly height: number;
  /** A drawing of lines, no mosaic. */
  readonly lined: boolean;
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

/** Worst first. Where not every group has room for a row, those of which the same is said share one. */
function groupsTable(groups: readonly GroupRow[], places: Places, shown: number): string {
  if (groups.length === 0) return '<h3>Redundancy</h3><p>The plan names no redundancy group.</p>';
  const rows = groups.slice(0, shown).map((row) => groupRow(row, places));
  const rest = groups.slice(shown).flat();
  const told = WORST.flatMap((verdict) => {
    const amount = rest.filter((group) => group.verdict === verdict).length;
    return amount === 0 ? [] : [`${GROUP_MARKS[verdict].sign} ${amount} ${GROUP_MARKS[verdict].word}`];
  });
  const more = rest.length === 0 ? '' : `<p>${count(rest.length, 'more group')}: ${list(told)}.</p>`;
  return `<h3>Redundancy</h3>${table('Redundancy', ['Group', 'Verdict', 'Work', 'Would end it', 'Job'], rows, 'groups-table')}${more}`;
}

/** Groups of one row: one, or several of which the same is said. */
type GroupRow = readonly GroupResult[];

function sortedGroups({ groups }: Pick<Matrix, 'groups'>): readonly GroupResult[] {
  return [...groups].sort((a, b) => WORST.indexOf(a.verdict) - WORST.indexOf(b.verdict));
}

/** Of groups that are redundant it does not matter by how much. */
function alike(groups: readonly GroupResult[], places: Places): readonly GroupRow[] {
  const said = (group: GroupResult): string =>
    [
      group.verdict,
      group.verdict === 'redundant' ? '' : workOf(group),
      singlePointWords(group.singlePoints, POINTS_NAMED),
      ...(places.jobsOfGroup.get(group.name) ?? []),
    ].join('\n');
  return [...groupBy(groups, said).values()];
}

/** Lines that a row takes on paper. */
function linesOf(row: GroupRow): number {
  const points = singlePointWords(row[0]?.singlePoints ?? [], POINTS_NAMED).length;
  const names = namesOf(row).join(', ').length;
  return Math.min(MOST_ROW_LINES, Math.max(Math.ceil(names / 28), Math.ceil(points / 50), 1));
}

/** As many of its groups as a row has room for, at least one; the rest are counted. */
function namesOf(row: GroupRow): readonly string[] {
  let letters = 0;
  const fitting = row.findIndex(({ name }) => {
    letters += Math.min(name.length, NAME_LETTERS) + 2;
    return letters > ROW_LETTERS;
  });
  return row.slice(0, fitting === -1 ? row.length : Math.max(1, fitting)).map(({ name }) => name);
}

function groupRow(row: GroupRow, places: Places): string[] {
  const [first] = row;
  if (first === undefined) return [];
  const mark = GROUP_MARKS[first.verdict];
  const points = singlePointWords(first.singlePoints, POINTS_NAMED);
  const names = namesOf(row).map((name) => {
    const number = places.groups.get(name);
    const whole = row.length > 1 && name.length <= WHOLE_NAME ? ' class="k"' : '';
    return number === undefined
      ? text(name, NAME_LETTERS)
      : `<a${whole} href="#g${number}">${text(name, NAME_LETTERS)}</a>`;
  });
  const hidden = row.length - names.length;
  return [
    `${names.join(', ')}${hidden === 0 ? '' : ` and ${count(hidden, 'other')}`}`,
    `<span class="verdict ${first.verdict}"><b>${mark.sign}</b> ${mark.word}</span>`,
    new Set(row.map(workOf)).size > 1 ? 'all that is needed' : workOf(first),
    points === '' ? (first.verdict === 'redundant' ? 'no single failure' : '–') : text(points, 200),
    jobNumbers(places.jobsOfGroup.get(first.name) ?? [], 3) || '–',
  ];
}

function workOf({ live, paths, planned, need }: GroupResult): string {
  return `${live.length} of ${Math.max(paths.length, planned.length)}, needs ${need}`;
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
