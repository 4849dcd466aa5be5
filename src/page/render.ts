import type { Matrix } from '../matrix/matrix.js';
import { outcomeOf } from '../result/outcome.js';
import { MARK_MEANINGS, MARKS } from '../text/marks.js';
import { list } from '../text/sentence.js';
import { opticsCaution, powerCaution, probeCaution, pullCaution, rackCaution } from './cautions.js';
import { evidenceSection } from './evidence.js';
import { filterBar } from './filter-bar.js';
import { findingsSection } from './findings.js';
import { groupsSection } from './groups.js';
import { headMarkup } from './head.js';
import { BASE, WORKSHEET } from './look/base.js';
import { DRAWINGS } from './look/drawings.js';
import { printLook } from './look/print.js';
import { SKIP_UNSEEN, tables } from './look/tables.js';
import { code, text, timeSpan } from './markup.js';
import { matrixTables } from './matrix-table.js';
import { methodSection } from './method.js';
import { besidePlanSection, capacitySection, observationsSection } from './observations.js';
import { type Places, placesOf } from './places.js';
import { racksSection } from './racks.js';
import { SCRIPT } from './script.js';
import { planSection, signOffSection } from './sign-off.js';

export interface PageOptions {
  /** Lower-case hex SHA-256 over the bytes of matrix.json. */
  readonly digest?: string;
}

/** Endpoints and groups past which the browser should lay out only what is in sight. */
const LARGE = 250;

interface Section {
  readonly id: string;
  readonly title: string;
  readonly body: string;
  readonly className?: string;
}

/** The handover page: one HTML document that needs nothing beside itself. Pure; the caller writes it. */
export function renderPage(matrix: Matrix, options: PageOptions = {}): string {
  const places = placesOf(matrix);
  const vantages = matrix.vantages.length;
  const sections = sectionsOf(matrix, places, options).filter(({ body }) => body !== '');
  const title = `Matchmark: ${matrix.plan.site}${matrix.plan.reference === undefined ? '' : `, ${matrix.plan.reference}`}`;
  const footer = [
    title.slice(0, 80),
    `run ${matrix.run.id}`,
    options.digest === undefined ? '' : `result ${options.digest.slice(0, 16)}`,
  ]
    .filter((part) => part !== '')
    .join(' | ');
  const skip = matrix.endpoints.length + matrix.groups.length > LARGE ? SKIP_UNSEEN : '';
  const style = [BASE, WORKSHEET, tables(vantages), DRAWINGS, skip, printLook(footer, vantages)].join('');
  const body = sections
    .map(
      ({ id, title: heading, body: content, className }, index) =>
        `<section id="${id}" aria-labelledby="${id}-h"${className === undefined ? '' : ` class="${className}"`}><h2 id="${id}-h"><span class="sn">${index + 1}</span> ${heading}</h2>
${content}</section>`,
    )
    .join('\n');
  const contents = sections
    .map(({ id, title: heading }, index) => `<li><a href="#${id}">${index + 1} ${heading}</a></li>`)
    .join('');
  return `<!doctype html>
<html lang="en">${headMarkup(title, style, SCRIPT)}
<body><a class="skip" href="#main">Skip to the outcome</a>
<header>${titleBlock(matrix, options)}<nav aria-label="Contents"><ol>${contents}</ol></nav></header>
<main id="main">
${body}
</main>
<footer><p class="aside">Made by Matchmark ${text(matrix.run.version, 40)}. This page needs no network and no script.</p></footer>
<script>${SCRIPT}</script></body></html>
`;
}

function sectionsOf(matrix: Matrix, places: Places, { digest }: PageOptions): readonly Section[] {
  return [
    {
      id: 'outcome',
      title: 'Outcome, and what to do first',
      body: outcomeBlock(matrix) + findingsSection(matrix, places),
    },
    { id: 'matrix', title: 'Matrix', body: matrixBlock(matrix, places), className: 'across' },
    {
      id: 'groups',
      title: 'Redundancy',
      body:
        opticsCaution(matrix) +
        (matrix.groups.length > 0 ? pullCaution() : '') +
        groupsSection(matrix, places),
    },
    { id: 'racks', title: 'Racks', body: rackBlock(matrix) },
    { id: 'observations', title: 'Observations', body: observationsSection(matrix) },
    { id: 'beside', title: 'Beside the plan', body: besidePlanSection(matrix) },
    { id: 'evidence', title: 'Evidence', body: evidenceSection(matrix, places) },
    { id: 'method', title: 'How it was measured', body: probeCaution() + methodSection(matrix) },
    { id: 'plan', title: 'Plan', body: planSection(matrix) + capacitySection(matrix) },
    { id: 'sign-off', title: 'Sign-off', body: signOffSection(matrix, digest) },
  ];
}

function titleBlock(matrix: Matrix, { digest }: PageOptions): string {
  const { run, plan, vantages } = matrix;
  const fields: readonly (readonly [string, string])[] = [
    ['Reference', text(plan.reference ?? 'none', 80)],
    ['Stage', text(run.stage)],
    ['Measured', `${timeSpan(run.startedAt, run.finishedAt)}`],
    ['From', text(list(vantages.map(({ name }) => name)), 200)],
    ['Run', code(run.id, 60)],
    ['Result SHA-256', digest === undefined ? 'not given' : code(`${digest.slice(0, 16)}…`, 60)],
  ];
  return `<div class="sheet"><h1>${text(plan.site, 160)}: what was planned, held against what answers</h1><dl>${fields.map(([label, value]) => `<div><dt>${label}</dt><dd>${value}</dd></div>`).join('')}</dl></div>`;
}

function outcomeBlock(matrix: Matrix): string {
  const { state, headline, sentences } = outcomeOf(matrix);
  return `<div class="outcome ${state}"><strong>${text(headline, 400)}</strong>${sentences.map((sentence) => `<p>${text(sentence, 600)}</p>`).join('')}</div>
`;
}

function matrixBlock(matrix: Matrix, places: Places): string {
  const key = (['matches', 'differs', 'missing', 'unproven', 'told'] as const)
    .map((mark) => `<li><b>${MARKS[mark].sign}</b> ${MARKS[mark].word}: ${MARK_MEANINGS[mark]}</li>`)
    .join('');
  if (matrix.endpoints.length === 0) return '<p>The plan names no endpoint.</p>';
  return `<ul class="key-list">${key}</ul>
${filterBar(matrix, places)}<div class="board" tabindex="0" role="region" aria-label="Matrix of endpoints and probes">${matrixTables(matrix, places)}</div>${matrixFootnote(places)}`;
}

/** On paper nothing can be followed by a click: where the numbers of the matrix lead. All other links name what they lead to. */
function matrixFootnote({ speakingOf }: Places): string {
  return speakingOf.size === 0
    ? ''
    : '\n<p class="paper">A number behind “see” or “note” is that of a finding in part 1, Outcome; “more” stands where the part Evidence lists further ones under the name of the endpoint.</p>';
}

function rackBlock(matrix: Matrix): string {
  const racks = racksSection(matrix);
  return racks === '' ? '' : `${rackCaution()}${powerCaution(matrix)}${racks}`;
}
