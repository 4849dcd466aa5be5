/** The result as CSV (RFC 4180) for those who go on in a spreadsheet: the matrix, the findings, the equipment. */
import { titleOf } from '../findings/rule-of.js';
import type { Matrix } from '../matrix/matrix.js';
import { cleanText } from '../text/clean.js';
import { csvText } from '../text/csv.js';
import { MARKS } from '../text/marks.js';
import { equipmentRecord } from './equipment.js';
import { type FactCell, factTable } from './fact-table.js';
import { relateFindings } from './relate.js';

/** Most characters of one cell: spreadsheets refuse more than 32,767. */
const CELL_LIMIT = 2000;

/** One row an endpoint, one column a planned fact. */
export function renderCsv(matrix: Matrix): string {
  const { jobsOf, groupJobsOf, notesOf } = relateFindings(matrix);
  const { columns, rows, from: usually } = factTable(matrix);
  const numbers = (of: ReadonlyMap<string, readonly number[]>, id: string): string =>
    (of.get(id) ?? []).join(' ');
  const head = [
    ...['endpoint', 'device', 'controller', 'port', 'role', 'network', 'address', 'group', 'verdict'],
    ...['reasons', 'differences', 'jobs', 'jobs of its group', 'notes', 'looked from'],
    ...columns.map(({ title }) => title.toLowerCase()),
  ];
  return csv([
    head,
    ...rows.map(({ endpoint, from, cells }) => [
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
        .map(({ field, planned, measured }) => `${field}: planned ${planned}, measured ${measured}`)
        .join('; '),
      numbers(jobsOf, endpoint.id),
      numbers(groupJobsOf, endpoint.id),
      numbers(notesOf, endpoint.id),
      endpoint.sightings.length === 0 ? '' : from === '' ? usually : from,
      ...cells.map(cellWords),
    ]),
  ]);
}

/** The findings as CSV, one a row, numbered as on the page: `3` is a job or a note, `3.1` follows from job 3. */
export function renderFindingsCsv(matrix: Matrix): string {
  const { jobs, notes } = relateFindings(matrix).jobList;
  const rows = [...jobs, ...notes].flatMap(({ number, finding, follows }) => [
    { label: String(number), finding },
    ...follows,
  ]);
  return csv([
    [
      'number',
      'severity',
      'code',
      'title',
      'subject',
      'message',
      'advice',
      'evidence',
      'about',
      'id',
      'follows',
    ],
    ...rows.map(({ label, finding }) => [
      label,
      finding.severity,
      finding.code,
      titleOf(finding.code),
      finding.subject,
      finding.message,
      finding.advice,
      finding.evidence.join('; '),
      (finding.about ?? []).join(' '),
      finding.id,
      finding.follows.join(' '),
    ]),
  ]);
}

/** One row a device, or a controller of it. */
export function renderEquipmentCsv(matrix: Matrix): string {
  return csv([
    ['device', 'controller', 'rack', 'units', 'serial numbers', 'software', 'macs', 'addresses'],
    ...equipmentRecord(matrix).map(
      ({ device, controller, rack, units, serials, software, macs, addresses }) => [
        ...[device, controller, rack, units, serials.join(' '), software],
        ...[macs.join(' '), addresses.join(' ')],
      ],
    ),
  ]);
}

/** Words instead of signs: a cell that begins with `=` would be a formula. */
function cellWords(cell: FactCell | undefined): string {
  if (cell === undefined) return '';
  const { word } = MARKS[cell.mark];
  return cell.text === word ? word : `${word}: ${cell.text}`;
}

function csv(rows: readonly (readonly string[])[]): string {
  return csvText(rows.map((row) => row.map(guarded)));
}

/**
 * A text that a spreadsheet would run as a formula (`=`, `+`, `-`, `@`, also in full width,
 * at its start) gets an apostrophe before it and stays text (common practice; OWASP, CSV Injection).
 */
function guarded(value: string): string {
  const clean = cleanText(value, CELL_LIMIT);
  return /^[=+\-@\t\r＝＋－＠]/.test(value) || /^[=+\-@＝＋－＠]/.test(clean) ? `'${clean}` : clean;
}
