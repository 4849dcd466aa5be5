/** A sheet of cells -> located rows keyed by column. Finds the header below title rows; keeps what it has no column for. */
import type { SourceRef } from '../plan/model.js';
import { cleanText } from '../text/clean.js';
import { type Column, columnOf, nearestColumn, REQUIRED_COLUMNS } from './columns.js';
import type { Issues } from './issues.js';
import { tidy } from './reading.js';
import type { RawRow } from './row.js';
import { namesSecret, withoutSecrets } from './secret-words.js';

/** Rows of one list: forty full racks have about a thousand endpoints, this is twenty times that. */
export const ROW_LIMIT = 20_000;
/** A header stands among the first rows or nowhere. */
const HEADER_WITHIN = 200;
const HEADER_TEXT_LIMIT = 60;

export interface SheetCell {
  readonly text: string;
  /** What a workbook knows beyond the text: the cell holds a date, or the error of a formula. */
  readonly odd?: 'date' | 'formula-error' | undefined;
}

export interface SheetRow {
  /** Counted from 1, as a spreadsheet program shows it. */
  readonly row: number;
  readonly line?: number | undefined;
  readonly cells: readonly SheetCell[];
}

/** How many different known columns a row names. */
export function headerScore(row: SheetRow): number {
  return new Set(row.cells.map((cell) => columnOf(cell.text)).filter((column) => column !== undefined)).size;
}

/** The first row that names every required column. */
export function findHeader(rows: readonly SheetRow[]): SheetRow | undefined {
  return rows.slice(0, HEADER_WITHIN).find((row) => {
    const named = new Set(row.cells.map((cell) => columnOf(cell.text)));
    return REQUIRED_COLUMNS.every((column) => named.has(column));
  });
}

export function readTable(rows: readonly SheetRow[], at: SourceRef, issues: Issues): RawRow[] {
  const header = findHeader(rows);
  if (header === undefined) {
    reportNoHeader(rows, at, issues);
    return [];
  }
  const columns = readHeader(header, at, issues);
  const body = rows.filter((row) => row.row > header.row && row.cells.some((cell) => tidy(cell.text) !== ''));
  if (body.length > ROW_LIMIT) {
    issues.error('too-many-rows', at, { found: `more than ${ROW_LIMIT}`, expected: `at most ${ROW_LIMIT}` });
    return [];
  }
  // A header that stands again further down is a page break of a printed list, not an endpoint.
  const endpoints = body.filter(
    (row) => headerScore(row) < REQUIRED_COLUMNS.length || findHeader([row]) === undefined,
  );
  if (endpoints.length === 0) issues.error('no-rows', at);
  return endpoints.map((row) => readRow(row, columns, at, issues));
}

interface HeaderColumn {
  readonly text: string;
  readonly known?: Column | undefined;
}

function readHeader(header: SheetRow, at: SourceRef, issues: Issues): ReadonlyMap<number, HeaderColumn> {
  const columns = new Map<number, HeaderColumn>();
  const firstAt = new Map<string, number>();
  header.cells.forEach((cell, index) => {
    const text = tidy(cell.text);
    if (text === '') return;
    const known = columnOf(text);
    const key = known ?? text.toLowerCase();
    const where = { ...at, row: header.row, ...lineOf(header), column: cleanText(text, HEADER_TEXT_LIMIT) };
    const earlier = firstAt.get(key);
    if (earlier !== undefined) {
      const expected = `columns ${letters(earlier)} and ${letters(index)} of the sheet`;
      issues.error('duplicate-column', where, { found: text, expected });
      return;
    }
    firstAt.set(key, index);
    columns.set(index, { text: cleanText(text, HEADER_TEXT_LIMIT), known });
    if (known !== undefined) return;
    if (namesSecret(text)) issues.note('secret-left-out', where, { found: text });
    else issues.note('unknown-column', where, { found: text, nearest: nearestColumn(text) });
  });
  return columns;
}

function readRow(
  row: SheetRow,
  columns: ReadonlyMap<number, HeaderColumn>,
  at: SourceRef,
  issues: Issues,
): RawRow {
  const rowAt: SourceRef = { ...at, row: row.row, ...lineOf(row) };
  const cells = new Map<Column, string>();
  const headers = new Map<string, string>();
  const extra: [string, string][] = [];
  row.cells.forEach((cell, index) => {
    const text = tidy(cell.text);
    const column = columns.get(index);
    if (text === '') return;
    if (column === undefined) {
      issues.note('too-many-cells', rowAt, { found: text });
      return;
    }
    if (column.known === undefined) {
      if (!namesSecret(column.text)) extra.push([column.text, cleanText(withoutSecrets(text))]);
      return;
    }
    headers.set(column.known, column.text);
    const odd = column.known === 'note' ? undefined : cell.odd;
    if (odd === undefined) cells.set(column.known, text);
    else {
      const code = odd === 'date' ? 'date-in-cell' : 'formula-error';
      issues.error(code, { ...rowAt, column: column.text }, { found: text });
    }
  });
  return {
    cells,
    extra,
    at: rowAt,
    broken: row.cells.some(
      (cell, index) => cell.odd !== undefined && columns.get(index)?.known !== undefined,
    ),
    atColumn: (column) => ({ ...rowAt, column: headers.get(column) ?? column }),
  };
}

function reportNoHeader(rows: readonly SheetRow[], at: SourceRef, issues: Issues): void {
  const best = rows
    .slice(0, HEADER_WITHIN)
    .reduce<SheetRow | undefined>(
      (a, b) => (a === undefined || headerScore(b) > headerScore(a) ? b : a),
      undefined,
    );
  if (best === undefined || headerScore(best) < 2) {
    issues.error('no-header', at, { expected: REQUIRED_COLUMNS.join(', ') });
    return;
  }
  const named = new Set(best.cells.map((cell) => columnOf(cell.text)));
  const spare = best.cells.map((cell) => tidy(cell.text)).filter((text) => columnOf(text) === undefined);
  for (const column of REQUIRED_COLUMNS.filter((required) => !named.has(required))) {
    const nearest = spare.find((text) => nearestColumn(text) === column);
    issues.error(
      'missing-column',
      { ...at, row: best.row, ...lineOf(best) },
      { expected: column, found: nearest },
    );
  }
}

function lineOf(row: SheetRow): { line?: number } {
  return row.line === undefined ? {} : { line: row.line };
}

/** 0 -> A, 25 -> Z, 26 -> AA: as a spreadsheet names its columns. */
function letters(index: number): string {
  const rest = String.fromCharCode(65 + (index % 26));
  return index < 26 ? rest : letters(Math.floor(index / 26) - 1) + rest;
}
