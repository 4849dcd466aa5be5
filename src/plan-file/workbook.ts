/** XLSX bytes -> sheets of cells. The library reads the workbook; what it would unpack is measured first. */
import { strFromU8, strToU8, type Unzipped, unzipSync, zipSync } from 'fflate';
import readWorkbook, { InvalidInputError, InvalidSpreadsheetError } from 'read-excel-file/universal';
import { cleanText } from '../text/clean.js';
import type { Issues } from './issues.js';
import { findHeader, headerScore, ROW_LIMIT, type SheetCell, type SheetRow } from './table.js';

/** Unpacked XML of a workbook, in bytes: some twice what the longest list that is read needs. */
const UNPACKED_LIMIT = 60_000_000;
/** The last row and column that may hold anything: one cell far out makes a reader fill in all that is before it. */
const LAST_ROW = ROW_LIMIT + 200;
const LAST_COLUMN = 256;
/** Cells of all sheets together, blanks between them included: fifty columns of the longest list. */
const AREA_LIMIT = 1_000_000;

export interface Sheet {
  readonly name: string;
  readonly rows: readonly SheetRow[];
}

/** Undefined where the workbook cannot be read; `issues` says why. */
export async function readSheets(
  bytes: Uint8Array,
  file: string,
  issues: Issues,
): Promise<Sheet[] | undefined> {
  const measured = measure(bytes);
  if ('code' in measured) {
    issues.error(measured.code, { file }, measured);
    return undefined;
  }
  try {
    const buffer = new Uint8Array(keepFormulaErrors(bytes, measured.sheets)).buffer;
    const sheets = await readWorkbook(buffer, { parseNumber: numberText });
    return sheets.map(({ sheet, data }) => ({
      name: sheet,
      rows: data.map((row, index) => ({ row: index + 1, cells: row.map(cellOf) })),
    }));
  } catch (error) {
    issues.error('damaged-workbook', { file }, { expected: damage(error) });
    return undefined;
  }
}

/** The one sheet that holds an address list. Two are two meanings. Where none does, the one most like it, so that it can be said why. */
export function chooseSheet(sheets: readonly Sheet[], file: string, issues: Issues): Sheet | undefined {
  const fitting = sheets.filter((sheet) => findHeader(sheet.rows) !== undefined);
  if (fitting.length > 1) {
    const names = fitting.map((sheet) => JSON.stringify(cleanText(sheet.name, 40))).join(', ');
    issues.error('several-sheets', { file }, { expected: names });
    return undefined;
  }
  const score = (sheet: Sheet) => Math.max(0, ...sheet.rows.slice(0, 200).map(headerScore));
  return fitting[0] ?? [...sheets].sort((a, b) => score(b) - score(a))[0];
}

interface Refusal {
  readonly code: 'damaged-workbook' | 'workbook-too-large';
  readonly found?: string;
  readonly expected: string;
}

/** The sizes that the archive states bound what can be unpacked: no more than stated is ever written. */
function measure(bytes: Uint8Array): Refusal | { readonly sheets: Unzipped } {
  let total = 0;
  const names: string[] = [];
  try {
    unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        total += originalSize;
        names.push(name);
        return false;
      },
    });
    if (total > UNPACKED_LIMIT) {
      const found = `${Math.round(total / 1e6)} MB`;
      return { code: 'workbook-too-large', found, expected: `at most ${UNPACKED_LIMIT / 1e6} MB` };
    }
    if (!names.includes('xl/workbook.xml'))
      return { code: 'damaged-workbook', expected: 'the archive holds no workbook' };
    const sheets = unzipSync(bytes, { filter: ({ name }) => /^xl\/worksheets\/[^/]+\.xml$/.test(name) });
    let area = 0;
    for (const sheet of Object.values(sheets)) {
      const extent = extentOf(strFromU8(sheet));
      if (extent.far !== undefined)
        return {
          code: 'workbook-too-large',
          found: `cell ${extent.far}`,
          expected: `cells up to row ${LAST_ROW}, column ${LAST_COLUMN}`,
        };
      area += extent.rows * extent.columns;
    }
    if (area > AREA_LIMIT)
      return {
        code: 'workbook-too-large',
        found: `${area} cells, blank ones between them included`,
        expected: `at most ${AREA_LIMIT}`,
      };
    return { sheets };
  } catch {
    return { code: 'damaged-workbook', expected: 'the archive is damaged' };
  }
}

/**
 * The library takes a cell with the error of a formula (ECMA-376 part 1 §18.18.11, type `e`) for an empty one. An address that reads
 * `#REF!` is not an endpoint without an address, so such cells are handed on as text.
 */
function keepFormulaErrors(bytes: Uint8Array, sheets: Unzipped): Uint8Array {
  const errorCell = /(<c\b[^<>]*?\st=)"e"/g;
  const changed = Object.entries(sheets)
    .map(([name, content]): [string, string, string] => {
      const xml = strFromU8(content);
      return [name, xml, xml.replace(errorCell, '$1"str"')];
    })
    .filter(([, before, after]) => before !== after);
  if (changed.length === 0) return bytes;
  const texts = changed.map(([name, , after]): [string, Uint8Array] => [name, strToU8(after)]);
  return zipSync({ ...unzipSync(bytes), ...Object.fromEntries(texts) }, { level: 0 });
}

interface Extent {
  /** Of the last cell that holds anything; the reader fills in all before it. */
  readonly rows: number;
  readonly columns: number;
  /** The first cell that no list has. */
  readonly far?: string;
}

/** A tag is found first and its attribute within it, so that time grows with the length of what is hostile and no faster. */
function extentOf(xml: string): Extent {
  let rows = 0;
  let columns = 0;
  for (const [, attributes = ''] of xml.matchAll(/<row\b([^<>]*)>\s*<c\b/g)) {
    const row = Number(/\sr="(\d+)"/.exec(attributes)?.[1] ?? 0);
    if (row > LAST_ROW) return { rows, columns, far: `row ${row}` };
    rows = Math.max(rows, row);
  }
  // Cells that say no place stand one behind the other.
  let unplaced = 0;
  for (const [, attributes = ''] of xml.matchAll(/<c\b([^<>]*)/g)) {
    const [, column = '', row] = /\sr="([A-Z]{1,7})(\d{1,9})"/.exec(attributes) ?? [];
    if (row === undefined) unplaced += 1;
    if (Number(row ?? 0) > LAST_ROW || columnNumber(column) > LAST_COLUMN)
      return { rows, columns, far: `${column}${row}` };
    rows = Math.max(rows, Number(row ?? 0));
    columns = Math.max(columns, columnNumber(column));
  }
  return rows * columns < unplaced ? { rows: 1, columns: unplaced } : { rows, columns };
}

/** A -> 1, Z -> 26, AA -> 27. */
function columnNumber(letters: string): number {
  return [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0);
}

/** Excel keeps numbers as binary fractions and writes 2.5 as 2.5, 10000 as 10000 or 1E4; fifteen digits are what it shows. */
function numberText(written: string): string {
  const number = Number(written);
  return Number.isFinite(number) ? String(Number(number.toPrecision(15))) : written;
}

function cellOf(value: unknown): SheetCell {
  if (value === null || value === undefined) return { text: '' };
  if (value instanceof Date)
    return { text: Number.isNaN(value.getTime()) ? 'a date' : value.toISOString().slice(0, 10), odd: 'date' };
  const text = String(value);
  return /^#(NULL!|DIV\/0!|VALUE!|REF!|NAME\?|NUM!|N\/A|SPILL!|CALC!)$/.test(text)
    ? { text, odd: 'formula-error' }
    : { text };
}

function damage(error: unknown): string {
  if (error instanceof InvalidSpreadsheetError || error instanceof InvalidInputError)
    return cleanText(error.message, 120);
  return 'its parts do not fit together';
}
