/** The matrix as CSV (RFC 4180), one row an endpoint, for those who go on in a spreadsheet. */

import { titleOf } from '../findings/rule-of.js';
import type { Matrix } from '../matrix/matrix.js';
import { cleanText } from '../text/clean.js';
import { MARKS } from '../text/marks.js';
import type { Cell } from './cell.js';
import { cellsOf, PROBE_COLUMNS } from './cells.js';
import { numberFindings } from './numbered.js';
import { relateFindings } from './relate.js';

/** Most characters of one cell: spreadsheets refuse more than 32,767. */
const CELL_LIMIT = 2000;

export function renderCsv(matrix: Matrix): string {
  const { speakingOf, contextOf } = relateFindings(matrix);
  const heads = matrix.vantages.flatMap(({ name }) =>
    PROBE_COLUMNS.map(({ title }) => `${name}: ${title.toLowerCase()}`),
  );
  const rows = matrix.endpoints.map((endpoint) => [
    endpoint.id,
    endpoint.device,
    endpoint.controller,
    endpoint.port,
    endpoint.role,
    endpoint.network,
    endpoint.address,
    endpoint.group,
    endpoint.verdict,
    endpoint.reasons.join('; '),
    endpoint.differences
      .map(({ field, planned: was, measured }) => `${field}: planned ${was}, measured ${measured}`)
      .join('; '),
    (speakingOf.get(endpoint.id) ?? []).map(({ number }) => number).join(' '),
    ...matrix.vantages.flatMap(({ name }) => {
      const sighting = endpoint.sightings.find(({ vantage }) => vantage === name);
      if (sighting === undefined) return PROBE_COLUMNS.map(() => 'not looked at');
      const cells = cellsOf(endpoint, sighting, contextOf(endpoint));
      return PROBE_COLUMNS.map(({ key }) => cellWords(cells[key]));
    }),
  ]);
  const head = [
    'endpoint',
    'device',
    'controller',
    'port',
    'role',
    'network',
    'address',
    'group',
    'verdict',
    'reasons',
    'differences',
    'findings',
    ...heads,
  ];
  return csv([head, ...rows]);
}

/** The findings as CSV, one a row, numbered as on the page. */
export function renderFindingsCsv(matrix: Matrix): string {
  const rows = numberFindings(matrix.findings).map(({ number, finding }) => [
    String(number),
    finding.severity,
    finding.code,
    titleOf(finding.code),
    finding.subject,
    finding.message,
    finding.advice,
    finding.evidence.join('; '),
    (finding.about ?? []).join(' '),
  ]);
  return csv([
    ['number', 'severity', 'code', 'title', 'subject', 'message', 'advice', 'evidence', 'about'],
    ...rows,
  ]);
}

/** Words instead of signs: a cell that begins with `=` would be a formula. */
function cellWords({ mark, text }: Cell): string {
  if (mark === undefined) return text === '–' ? '' : text;
  return `${MARKS[mark].word}: ${text}`;
}

function csv(rows: readonly (readonly string[])[]): string {
  return rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

/**
 * One field. Quoted where RFC 4180 §2 asks for it. A text that a spreadsheet would run as a formula (`=`, `+`, `-`, `@`, also in full width,
 * at its start) gets an apostrophe before it and stays text (common practice; OWASP, CSV Injection).
 */
function cell(value: string): string {
  const clean = cleanText(value, CELL_LIMIT);
  const safe = /^[=+\-@\t\r＝＋－＠]/.test(value) || /^[=+\-@＝＋－＠]/.test(clean) ? `'${clean}` : clean;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
