/** Findings as terminal text, in the words of the page: numbered alike, worst first, what to do beside what is wrong. */
import type { Severity } from '../findings/define.js';
import type { Finding } from '../findings/index.js';
import { titleOf } from '../findings/rule-of.js';
import { causesOf } from '../result/causes.js';
import { type FindingKind, headingOf, kindsOf, type NumberedFinding } from '../result/numbered.js';
import { cleanText } from '../text/clean.js';
import { list } from '../text/sentence.js';
import { type Ink, ink, plain, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

const WORDS: Readonly<Record<Severity, { readonly word: string; readonly inks: readonly Ink[] }>> = {
  stop: { word: 'STOP', inks: ['bold', 'red'] },
  fix: { word: 'FIX', inks: ['bold', 'yellow'] },
  note: { word: 'NOTE', inks: ['dim'] },
};

/** Of one kind, this many are written out; the page and the JSON have all. */
const SHOWN_OF_A_KIND = 5;
const EVIDENCE_SHOWN = 2;
const SUBJECTS_SHOWN = 6;
const CAUSES_SHOWN = 6;
/** Below this many columns text goes under the number, not beside it. */
const NARROW = 70;

export interface FindingsOptions extends TextStyle {
  /** Write every finding out, in full, however many there are of a kind. */
  readonly all?: boolean;
  /** Notes of a kind in one line, because a page beside it has them in full. */
  readonly briefNotes?: boolean;
  /** Endpoints found on a switch that the plan has not for them. */
  readonly onAnotherSwitch?: ReadonlySet<string>;
}

type Causes = ReadonlyMap<number, readonly number[]>;

/** Faults in full; what follows from a fault in a line. */
export function renderFindings(findings: readonly Finding[], options: FindingsOptions): string {
  const kinds = kindsOf(findings);
  const causes = causesOf(
    kinds.flatMap((kind) => kind.findings),
    options.onAnotherSwitch,
  );
  const blocks = kinds.flatMap((kind): Block[] =>
    kind.severity === 'note' && options.briefNotes === true && options.all !== true
      ? [{ like: 'note', text: noteLine(kind, options) }]
      : renderKind(kind, options, causes),
  );
  return blocks
    .map(({ like, text }, index) =>
      index === 0 || (like !== undefined && blocks[index - 1]?.like === like) ? text : `\n${text}`,
    )
    .join('');
}

interface Block {
  /** One-liners of a sort stand without a blank line between them. */
  readonly like?: 'note' | 'follows' | undefined;
  readonly text: string;
}

function renderKind(kind: FindingKind, options: FindingsOptions, causes: Causes): Block[] {
  const shown = options.all === true ? kind.findings : kind.findings.slice(0, SHOWN_OF_A_KIND);
  const hidden = kind.findings.length - shown.length;
  const blocks = shown.map((each): Block => {
    const from = causes.get(each.number);
    return from !== undefined && options.all !== true
      ? { like: 'follows', text: consequenceLine(each, from, options) }
      : { text: renderFinding(each, from, options) };
  });
  const last = blocks.at(-1);
  if (hidden === 0 || last === undefined) return blocks;
  const more = wrap(options, `and ${hidden} more of this kind: ${titleOf(kind.code)}`, indent(options));
  return [
    ...blocks.slice(0, -1),
    { ...last, text: `${last.text}${last.like === undefined ? '\n' : ''}${more}` },
  ];
}

function renderFinding(
  { number, finding }: NumberedFinding,
  causes: readonly number[] | undefined,
  options: FindingsOptions,
): string {
  const { advice } = finding;
  const pad = indent(options);
  return [
    head(`${number}`, finding, headingOf(finding), ` (${finding.code})`, options),
    wrap(options, finding.message, pad),
    causes === undefined ? '' : wrap(options, `Follows from ${numbers(causes)}.`, pad),
    wrap(options, advice, `${pad}Do: `),
    ...shownEvidence(finding, options).map((line) => wrap(options, line, `${pad}Seen: `)),
  ].join('');
}

function consequenceLine(
  { number, finding }: NumberedFinding,
  causes: readonly number[],
  options: FindingsOptions,
): string {
  return head(
    `${number}`,
    finding,
    headingOf(finding),
    `, follows from ${numbers(causes)} (${finding.code})`,
    options,
  );
}

/** All notes of a kind in one line: what they are, and on what. */
function noteLine({ findings, code }: FindingKind, options: FindingsOptions): string {
  const [first] = findings;
  const last = findings.at(-1);
  if (first === undefined || last === undefined) return '';
  const range = first === last ? `${first.number}` : `${first.number}-${last.number}`;
  const subjects = [...new Set(findings.map(({ finding }) => finding.subject))].filter(
    (subject) => subject !== '',
  );
  const on =
    subjects.length === 0
      ? ''
      : `: ${list(
          subjects.map((subject) => cleanText(subject, 80)),
          SUBJECTS_SHOWN,
        )}`;
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

function numbers(causes: readonly number[]): string {
  return list(causes.map(String), CAUSES_SHOWN);
}

/** Who saw it, and when: the page has the time. */
const WHO_AND_WHEN = /^([^,]{1,80}), \d{4}-\d\d-\d\dT[\d:.]+Z: /;

/** What the message already has word for word is not said twice. */
function shownEvidence(
  { severity, evidence, message }: Finding,
  { all }: FindingsOptions,
): readonly string[] {
  if (all === true) return evidence;
  if (severity === 'note') return [];
  return evidence
    .filter((line) => !message.includes(line.replace(WHO_AND_WHEN, '')))
    .slice(0, EVIDENCE_SHOWN)
    .map((line) => line.replace(WHO_AND_WHEN, '$1: '));
}
