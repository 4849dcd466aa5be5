/** A sheet whose columns are named by a set of words -> rows by column, each with its place. For lists that are no address list. */
import type { SourceRef } from '../plan/model.js';
import { nearestWord } from '../text/nearest.js';
import type { Issues } from './issues.js';
import { tidy } from './reading.js';
import { ROW_LIMIT, type SheetRow } from './table.js';

export interface KeyedRow<Name extends string> {
  readonly cells: ReadonlyMap<Name, string>;
  readonly at: SourceRef;
  readonly atColumn: (name: Name) => SourceRef;
}

/** A header stands among the first rows or nowhere. */
const HEADER_WITHIN = 200;

/** The first row that names every column of `required` is the header; columns nobody knows are said once and passed over. */
export function readKeyedTable<Name extends string>(
  rows: readonly SheetRow[],
  names: readonly Name[],
  required: readonly Name[],
  at: SourceRef,
  issues: Issues,
): KeyedRow<Name>[] {
  const known = new Map(names.map((name) => [spelling(name), name]));
  const columnsOf = (row: SheetRow): (Name | undefined)[] =>
    row.cells.map(({ text }) => known.get(spelling(text)));
  const header = rows.slice(0, HEADER_WITHIN).find((row) => {
    const named = new Set(columnsOf(row));
    return required.every((name) => named.has(name));
  });
  if (header === undefined) {
    issues.error('no-header', at, { expected: required.join(', ') });
    return [];
  }
  const columns = columnsOf(header);
  header.cells.forEach(({ text }, index) => {
    const column = columns[index];
    const where = { ...at, row: header.row, column: tidy(text) };
    if (column === undefined && tidy(text) !== '') {
      const near = nearestWord(spelling(text), known.keys());
      issues.note('unknown-column', where, {
        found: text,
        nearest: near === undefined ? undefined : known.get(near),
      });
    } else if (column !== undefined && columns.indexOf(column) !== index)
      issues.error('duplicate-column', where, { found: text });
  });
  const body = rows.filter((row) => row.row > header.row && row.cells.some(({ text }) => tidy(text) !== ''));
  if (body.length > ROW_LIMIT) {
    issues.error('too-many-rows', at, { found: `more than ${ROW_LIMIT}`, expected: `at most ${ROW_LIMIT}` });
    return [];
  }
  if (body.length === 0) issues.error('no-rows', at);
  return body.map((row) => {
    const place = { ...at, row: row.row, ...(row.line === undefined ? {} : { line: row.line }) };
    const cells = new Map<Name, string>();
    row.cells.forEach((cell, index) => {
      const column = columns[index];
      const text = tidy(cell.text);
      if (column === undefined || text === '') return;
      if (cell.odd === undefined) cells.set(column, text);
      else
        issues.error(
          cell.odd === 'date' ? 'date-in-cell' : 'formula-error',
          { ...place, column },
          { found: text },
        );
    });
    return { cells, at: place, atColumn: (name) => ({ ...place, column: name }) };
  });
}

/** As the headers of an address list: case, blanks, `_` and `-` play no part. */
function spelling(header: string): string {
  return header.toLowerCase().replace(/[\s_\u2010-\u2015\u200b\ufeff-]+/gu, '');
}
