/** First on the page: what is wrong and what to do about it, as a worksheet with a box to tick for each item. */

import { titleOf } from '../findings/rule-of.js';
import type { Matrix } from '../matrix/matrix.js';
import { type FindingKind, headingOf, kindsOf, type NumberedFinding } from '../result/numbered.js';
import { groupBy } from '../result/relate.js';
import { count } from '../text/sentence.js';
import { items, text } from './markup.js';
import { endpointLink, type Places } from './places.js';

/** Of one kind, this many stand open; the rest are folded. */
const OPEN_OF_A_KIND = 6;
const LINKS_SHOWN = 12;
const CAUSES_SHOWN = 6;
const HEADING_LIMIT = 200;
const TICK =
  '<p class="tick" aria-hidden="true"><span class="box"></span> done <span class="ini"></span> initials</p>';
/** What follows from another item is done with it: a box to tick when the check was repeated. */
const SMALL_TICK = '<p class="tick" aria-hidden="true"><span class="box"></span> gone</p>';

const SEVERITIES = [
  {
    severity: 'stop',
    heading: 'Stop: make these safe first',
    lead: 'Do not go on with the work before these are settled.',
  },
  { severity: 'fix', heading: 'Fix before handover', lead: '' },
  {
    severity: 'note',
    heading: 'Notes',
    lead: 'Nothing here holds the handover up, but it is worth knowing.',
  },
] as const;

export function findingsSection(matrix: Matrix, places: Places): string {
  if (matrix.findings.length === 0) return '<p>No findings.</p>';
  const kinds = kindsOf(matrix.findings);
  return SEVERITIES.map(({ severity, heading, lead }) => {
    const own = kinds.filter((kind) => kind.severity === severity);
    if (own.length === 0) return '';
    const body = own.map((kind) => kindBlock(kind, places)).join('\n');
    return `<section class="worksheet ${severity}"><h3>${heading}</h3>${lead === '' ? '' : `<p>${lead}</p>`}
${body}</section>`;
  }).join('\n');
}

function kindBlock(kind: FindingKind, places: Places): string {
  const open = kind.findings.slice(0, OPEN_OF_A_KIND);
  const folded = kind.findings.slice(OPEN_OF_A_KIND);
  const rest =
    folded.length === 0
      ? ''
      : `<details class="more"><summary>${folded.length} more: ${text(titleOf(kind.code))}</summary>${list(folded, places)}</details>`;
  return list(open, places) + rest;
}

function list(findings: readonly NumberedFinding[], places: Places): string {
  return `<ol class="items" start="${findings[0]?.number ?? 1}">${findings.map((each) => item(each, places)).join('\n')}</ol>`;
}

function item(numbered: NumberedFinding, places: Places): string {
  const { number, finding } = numbered;
  const causes = places.causes.get(number);
  const heading = `<p class="what"><span class="no">${number}</span> <b class="sev">${text(finding.severity)}</b> <b class="title">${text(headingOf(finding), HEADING_LIMIT)}</b></p>`;
  const advice = `<p class="do"><b>Do:</b> ${text(finding.advice, 600)}</p>`;
  const evidence = items(
    finding.evidence.map((line) => text(line)),
    'seen',
  );
  const proof = evidence === '' ? '' : `<div class="proof"><b>Seen:</b>${evidence}</div>`;
  const at = `<p class="at">${links(numbered, places)}<span class="code">${text(finding.code)}</span></p>`;
  const body =
    causes === undefined
      ? `<p class="left">${text(finding.message, 600)}</p>
${advice}
<div class="foot">${proof}${at}</div>${finding.severity === 'note' ? '' : TICK}`
      : `<p class="left">${text(finding.message, 600)}</p>
<p class="do"><b>Follows from</b> ${causeLinks(causes, places)}: settle that, then check again.</p>
<div class="foot">${at}<details><summary>If it stays</summary>${advice}${proof}</details></div>${SMALL_TICK}`;
  return `<li id="f${number}" class="item${causes === undefined ? '' : ' follows'}">${heading}
${body}</li>`;
}

/** Causes under one heading are named once: `5, 6, 7 (A planned service refuses: vault-1/B/mgmt)`. */
function causeLinks(causes: readonly number[], places: Places): string {
  const byHeading = groupBy(causes.slice(0, CAUSES_SHOWN), (cause) => {
    const found = places.findings[cause - 1]?.finding;
    return found === undefined ? '' : headingOf(found);
  });
  const shown = [...byHeading].map(([heading, own]) => {
    const links = own.map((cause) => `<a href="#f${cause}">${cause}</a>`).join(', ');
    return heading === '' ? links : `${links} (${text(heading, 90)})`;
  });
  const hidden = causes.length - CAUSES_SHOWN;
  return hidden > 0 ? `${shown.join(', ')} and ${count(hidden, 'other')}` : shown.join(', ');
}

function links({ number, finding }: NumberedFinding, places: Places): string {
  const ids = places.about.get(number) ?? [];
  const group = places.groups.get(finding.subject);
  const device = places.devices.get(finding.subject);
  const parts: string[] = [];
  if (group !== undefined) parts.push(`Drawing: <a href="#g${group}">${text(finding.subject)}</a>`);
  if (device !== undefined) parts.push(`Device: <a href="#d${device}">${text(finding.subject)}</a>`);
  if (ids.length > 0) {
    const shown = ids.slice(0, LINKS_SHOWN).map((id) => endpointLink(places, id, text(id)));
    const hidden = ids.length - shown.length;
    parts.push(
      `${ids.length === 1 ? 'Cells' : 'Cells of'}: ${shown.join(', ')}${hidden > 0 ? ` and ${count(hidden, 'other')}` : ''}`,
    );
  }
  return parts.length === 0 ? '' : `${parts.join(' · ')} `;
}
