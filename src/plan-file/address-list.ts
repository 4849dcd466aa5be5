/** An address list, CSV or XLSX -> located rows. Pure: bytes in, rows out. */
import type { SourceRef } from '../plan/model.js';
import { contentOf } from './bytes.js';
import { readCsv } from './csv.js';
import type { IssueCode, Issues } from './issues.js';
import { type LocatedRow, readRows } from './row.js';
import { readTable, type SheetRow } from './table.js';

/** `file` is the name for messages. What is wrong stands in `issues`. */
export async function readAddressList(
  bytes: Uint8Array,
  file: string,
  issues: Issues,
): Promise<LocatedRow[]> {
  const sheet = await readSheet(bytes, file, issues);
  return sheet === undefined ? [] : readRows(readTable(sheet.rows, sheet.at, issues), issues);
}

/** The cells of a table, CSV or XLSX, and what its places are called. Undefined where it cannot be read; `issues` says why. */
export async function readSheet(
  bytes: Uint8Array,
  file: string,
  issues: Issues,
): Promise<{ rows: readonly SheetRow[]; at: SourceRef } | undefined> {
  const content = contentOf(bytes);
  if (content.kind === 'workbook') {
    // Its libraries take a tenth of a second to load, which a CSV need not pay.
    const { chooseSheet, readSheets } = await import('./workbook.js');
    const sheets = await readSheets(bytes, file, issues);
    const sheet = sheets === undefined ? undefined : chooseSheet(sheets, file, issues);
    return sheet && { rows: sheet.rows, at: { file, sheet: sheet.name } };
  }
  if (content.kind !== 'text') {
    issues.error(REFUSED[content.kind], { file });
    return undefined;
  }
  if (content.encoding === 'windows-1252') issues.note('read-as-windows-1252', { file });
  const rows = readCsv(content.text, file, issues);
  return rows && { rows, at: { file } };
}

export function readAddressListText(text: string, file: string, issues: Issues): LocatedRow[] {
  const rows = readCsv(text, file, issues);
  return rows === undefined ? [] : readRows(readTable(rows, { file }, issues), issues);
}

export const REFUSED = {
  empty: 'empty-file',
  binary: 'binary-file',
  'old-workbook': 'old-workbook',
} as const satisfies Record<string, IssueCode>;
