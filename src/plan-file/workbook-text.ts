/** Rows of text -> a workbook (XLSX) whose cells are all text, so that no program turns `1/7` into a date. */
import writeWorkbook from 'write-excel-file/universal';

/** Characters; wider columns wrap on paper. */
const WIDEST = 40;

export async function workbookOf(sheet: string, rows: readonly (readonly string[])[]): Promise<Uint8Array> {
  const [header = [], ...body] = rows;
  const data = [
    header.map((value) => ({ value, type: String, fontWeight: 'bold' as const })),
    ...body.map((row) => row.map((value) => (value === '' ? null : { value, type: String }))),
  ];
  const columns = header.map((_, index) => ({
    width: Math.min(WIDEST, 2 + Math.max(...rows.map((row) => row[index]?.length ?? 0))),
  }));
  const blob = await writeWorkbook(data, { sheet, columns, stickyRowsCount: 1 }).toBlob();
  return new Uint8Array(await blob.arrayBuffer());
}
