/** Findings as terminal text, in the words of the page: numbered alike, worst first, what to do beside what is wrong. */
import type { Severity } from '../judge/rules/define.js';
import type { Finding } from '../judge/rules/index.js';
import { type FindingKind, kindsOf, type NumberedFinding } from '../result/numbered.js';
import { titleOf } from '../result/rule-of.js';
import { cleanText } from '../text/clean.js';
import { type Ink, ink, plain, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

const WORDS: Readonly<Record<Severity, { readonly word: string; readonly inks: readonly Ink[] }>> = {
  stop: { word: 'STOP', inks: ['bold', 'red'] },
  fix: { word: 'FIX', inks: ['bold', 'yellow'] },
  note: { word: 'NOTE', inks: ['dim'] },
};

/** Of one kind, this many are written out; the page and the JSON have all. */
const SHOWN_OF_A_KIND = 5;
const EVIDENCE_SHOWN = 4;
const INDENT = ' '.repeat(10);

export interface FindingsOptions extends TextStyle {
  /** Write every finding out, however many there are of a kind. */
  readonly all?: boolean;
}

export function renderFindings(findings: readonly Finding[], options: FindingsOptions): string {
  return kindsOf(findings)
    .map((kind) => renderKind(kind, options))
    .join('\n');
}

function renderKind(kind: FindingKind, options: FindingsOptions): string {
  const shown = options.all === true ? kind.findings : kind.findings.slice(0, SHOWN_OF_A_KIND);
  const hidden = kind.findings.length - shown.length;
  const written = shown.map((each) => renderFinding(each, options)).join('\n');
  return hidden === 0
    ? written
    : `${written}\n${wrap(options, `and ${hidden} more of this kind: ${titleOf(kind.code)}`, INDENT)}`;
}

/** Notes go without: the page has their evidence. */
function shownEvidence({ severity, evidence }: Finding, { all }: FindingsOptions): readonly string[] {
  return all === true ? evidence : severity === 'note' ? [] : evidence.slice(0, EVIDENCE_SHOWN);
}

function renderFinding({ number, finding }: NumberedFinding, style: FindingsOptions): string {
  const { word, inks } = WORDS[finding.severity];
  const title = plain(style, cleanText(titleOf(finding.code), 120));
  const lead = `${ink(style, word.padEnd(4), ...inks)} ${String(number).padStart(3)}. `;
  const head = wrap(style, `${title}: ${cleanText(finding.subject, 120)}`, lead, INDENT).replace(
    title,
    ink(style, title, 'bold'),
  );
  return [
    head,
    wrap(style, finding.message, INDENT),
    wrap(style, finding.advice, `${INDENT}Do: `),
    ...shownEvidence(finding, style).map((line) => wrap(style, line, `${INDENT}Seen: `)),
    ink(style, `${INDENT}(${cleanText(finding.code, 60)})`, 'dim'),
    '\n',
  ].join('');
}
