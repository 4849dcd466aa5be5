/** First on the page: what is wrong and what to do about it, as a worksheet with a box to tick for each item. */

import type { Matrix } from '../result/matrix.js';
import { type FindingKind, kindsOf, type NumberedFinding } from '../result/numbered.js';
import { titleOf } from '../result/rule-of.js';
import { count } from '../text/sentence.js';
import { items, text } from './markup.js';
import { endpointLink, type Places } from './places.js';

/** Of one kind, this many stand open; the rest are folded. */
const OPEN_OF_A_KIND = 6;
const LINKS_SHOWN = 12;
const TICK =
  '<p class="tick" aria-hidden="true"><span class="box"></span> done <span class="ini"></span> initials</p>';

const SEVERITIES = [
  {
    severity: 'stop',
    heading: 'Stop: make these safe first',
    lead: 'Do not go on with the work before these are settled.',
  },
  { severity: 'fix', heading: 'Fix before handover', lead: '' },
  { severity: 'note', heading: 'Notes', lead: 'Nothing to do before handover, but worth knowing.' },
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

function item({ number, finding }: NumberedFinding, places: Places): string {
  const evidence = items(
    finding.evidence.map((line) => text(line)),
    'seen',
  );
  return `<li id="f${number}" class="item"><p class="what"><span class="no">${number}</span> <b class="sev">${text(finding.severity)}</b> <b class="title">${text(titleOf(finding.code))}</b></p>
<p>${text(finding.message, 600)}</p>
<p class="do"><b>Do:</b> ${text(finding.advice, 600)}</p>
${evidence === '' ? '' : `<div class="proof"><b>Seen:</b>${evidence}</div>`}<p class="at">${links({ number, finding }, places)}<span class="code">${text(finding.code)}</span></p>${finding.severity === 'note' ? '' : TICK}</li>`;
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
  return parts.length === 0 ? `On: ${text(finding.subject)} ` : `${parts.join(' · ')} `;
}
