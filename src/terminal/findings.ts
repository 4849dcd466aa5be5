/** Jobs and notes as terminal text, in the words and with the numbers of the page: what to do beside what is wrong. */

import type { Severity } from '../findings/define.js';
import type { Finding } from '../findings/index.js';
import { titleOf } from '../findings/rule-of.js';
import { followingWords, headingOf, type Job, type JobList, jobListOf } from '../result/jobs.js';
import { evidenceLines, timedLine, untimedLine } from '../result/shown-evidence.js';
import { cleanText } from '../text/clean.js';
import { groupBy } from '../text/group-by.js';
import { list } from '../text/sentence.js';
import { type Ink, ink, plain, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

const WORDS: Readonly<Record<Severity, { readonly word: string; readonly inks: readonly Ink[] }>> = {
  stop: { word: 'STOP', inks: ['bold', 'red'] },
  fix: { word: 'FIX', inks: ['bold', 'red'] },
  note: { word: 'NOTE', inks: ['dim'] },
};

/** Of one kind, this many are written out; the page and the JSON have all. */
const SHOWN_OF_A_KIND = 5;
const EVIDENCE_SHOWN = 2;
const SUBJECTS_SHOWN = 6;
const KINDS_NAMED = 6;
/** Below this many columns text goes under the number, not beside it. */
const NARROW = 70;

/** How much of a job is written: everything; what is wrong and what to do; what to do; its heading; one line for all of a kind. */
export type Detail = 'all' | 'told' | 'advice' | 'heading' | 'kind';

export interface FindingsOptions extends TextStyle {
  readonly detail?: Detail;
  /** Notes as jobs are written; a line for all of a kind; one line for all. A page beside it has them in full. */
  readonly notes?: 'full' | 'kinds' | 'line';
}

/** For those who have findings and no result. */
export function renderFindings(findings: readonly Finding[], options: FindingsOptions): string {
  return renderJobs(jobListOf(findings), options);
}

export function renderJobs({ jobs, notes }: JobList, options: FindingsOptions): string {
  const { detail = 'told', notes: told = 'full' } = options;
  const blocks = [
    ...kindsOf(jobs).flatMap((kind) => kindBlocks(kind, detail, options)),
    ...(told === 'line'
      ? allNotes(notes, options)
      : kindsOf(notes).flatMap((kind) => kindBlocks(kind, told === 'kinds' ? 'kind' : detail, options))),
  ];
  return blocks
    .map(({ like, text }, index) =>
      index === 0 || (like !== undefined && blocks[index - 1]?.like === like) ? text : `\n${text}`,
    )
    .join('');
}

interface Block {
  /** Blocks of a sort stand without a blank line between them. */
  readonly like?: string | undefined;
  readonly text: string;
}

/** Jobs of one code and severity. They stand together in the order of the jobList. */
function kindsOf(jobs: readonly Job[]): readonly (readonly Job[])[] {
  return [...groupBy(jobs, ({ finding }) => `${finding.severity} ${finding.code}`).values()];
}

function kindBlocks(kind: readonly Job[], detail: Detail, options: FindingsOptions): Block[] {
  const [first] = kind;
  if (first === undefined) return [];
  const like = first.finding.severity === 'note' ? 'notes' : 'jobs';
  if (detail === 'kind') return [{ like, text: kindLine(kind, options) }];
  const shown = detail === 'all' ? kind : kind.slice(0, SHOWN_OF_A_KIND);
  const hidden = kind.slice(shown.length);
  const blocks = shown.map(
    (job): Block => ({
      like: detail === 'all' || detail === 'told' ? undefined : like,
      text: jobText(job, detail, options),
    }),
  );
  return hidden.length === 0 ? blocks : [...blocks, { like, text: kindLine(hidden, options) }];
}

function jobText(job: Job, detail: Detail, options: FindingsOptions): string {
  const { finding, number, follows } = job;
  const pad = indent(options);
  const following = followingWords(job);
  const line = head(
    `${number}`,
    finding,
    headingOf(finding),
    `${following === '' || detail === 'all' ? '' : `; ${following}`} (${finding.code})`,
    options,
  );
  if (detail === 'heading') return line;
  const advice = wrap(options, finding.advice, `${pad}Do: `);
  if (detail === 'advice') return line + advice;
  return [
    line,
    wrap(options, finding.message, pad),
    advice,
    ...shownEvidence(finding, detail).map((each) => wrap(options, each, `${pad}Seen: `)),
    ...(detail === 'all'
      ? follows.map(({ label, finding: one, also }) =>
          wrap(
            options,
            `${headingOf(one)}${also.length === 0 ? '' : `, also from ${list(also.map(String))}`}. ${one.message}`,
            `${pad}Follows, ${label}: `,
            `${pad}  `,
          ),
        )
      : []),
  ].join('');
}

/** `7-13. Nobody has looked yet (4), Reserved address and Paths of unequal speed`. */
function allNotes(notes: readonly Job[], options: FindingsOptions): Block[] {
  const [first] = notes;
  const last = notes.at(-1);
  if (first === undefined || last === undefined) return [];
  const range = first === last ? `${first.number}` : `${first.number}-${last.number}`;
  const kinds = kindsOf(notes).map((kind) => {
    const title = titleOf(kind[0]?.finding.code ?? '');
    return kind.length === 1 ? title : `${title} (${kind.length})`;
  });
  const lead = `${ink(options, WORDS.note.word, ...WORDS.note.inks)} ${range.padStart(3)}. `;
  return [{ like: 'notes', text: wrap(options, list(kinds, KINDS_NAMED), lead, indent(options)) }];
}

/** All of a kind in one line: what they are, and on what. */
function kindLine(kind: readonly Job[], options: FindingsOptions): string {
  const [first] = kind;
  const last = kind.at(-1);
  if (first === undefined || last === undefined) return '';
  const range = first === last ? `${first.number}` : `${first.number}-${last.number}`;
  const subjects = [...new Set(kind.map(({ finding }) => finding.subject))].filter(
    (subject) => subject !== '',
  );
  const on =
    subjects.length === 0
      ? ''
      : `: ${list(
          subjects.map((subject) => cleanText(subject, 80)),
          SUBJECTS_SHOWN,
        )}`;
  const { code } = first.finding;
  return head(range, first.finding, titleOf(code), `${on} (${code})`, options);
}

function head(
  number: string,
  { severity, code }: Finding,
  heading: string,
  after: string,
  options: FindingsOptions,
): string {
  const { word, inks } = WORDS[severity];
  const lead = `${ink(options, word.padEnd(4), ...inks)} ${number.padStart(3)}. `;
  const title = plain(options, cleanText(titleOf(code), 120));
  return wrap(options, `${cleanText(heading, 240)}${after}`, lead, indent(options)).replace(
    title,
    severity === 'note' ? title : ink(options, title, 'bold'),
  );
}

function indent({ width }: TextStyle): string {
  return ' '.repeat(width < NARROW ? 5 : 10);
}

/** What the message has said already is not said twice. */
function shownEvidence(finding: Finding, detail: Detail): readonly string[] {
  if (detail === 'all') return evidenceLines(finding).map(timedLine);
  if (finding.severity === 'note') return [];
  return evidenceLines(finding)
    .filter(({ told }) => told !== true)
    .slice(0, EVIDENCE_SHOWN)
    .map(untimedLine);
}
