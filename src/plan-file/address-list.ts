/** An address list, CSV or XLSX -> located rows. Pure: bytes in, rows out. */
import { contentOf } from './bytes.js';
import { readCsv } from './csv.js';
import type { IssueCode, Issues } from './issues.js';
import { type LocatedRow, readRows } from './row.js';
import { readTable } from './table.js';

/** `file` is the name for messages. What is wrong stands in `issues`. */
export async function readAddressList(
  bytes: Uint8Array,
  file: string,
  issues: Issues,
): Promise<LocatedRow[]> {
  const content = contentOf(bytes);
  if (content.kind === 'workbook') {
    // Its libraries take a tenth of a second to load, which a CSV need not pay.
    const { chooseSheet, readSheets } = await import('./workbook.js');
    const sheets = await readSheets(bytes, file, issues);
    const sheet = sheets === undefined ? undefined : chooseSheet(sheets, file, issues);
    return sheet === undefined
      ? []
      : readRows(readTable(sheet.rows, { file, sheet: sheet.name }, issues), issues);
  }
  if (content.kind !== 'text') {
    issues.error(REFUSED[content.kind], { file });
    return [];
  }
  if (content.encoding === 'windows-1252') issues.note('read-as-windows-1252', { file });
  return readAddressListText(content.text, file, issues);
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
