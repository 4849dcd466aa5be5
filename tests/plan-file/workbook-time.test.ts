import { strToU8, zipSync } from 'fflate';
import { expect, test } from 'vitest';
import { Issues } from '../../src/plan-file/issues.js';
import { readSheets } from '../../src/plan-file/workbook.js';
import { workMs } from '../support/work.js';

test.each(['<row ', '<c ', '<c t="e" ', '<row r="1" '])(
  'a sheet of nothing but "%s" is looked through in time that grows with its length',
  async (tag) => {
    const bytes = zipSync({
      'xl/workbook.xml': strToU8('<workbook/>'),
      'xl/worksheets/sheet1.xml': strToU8(tag.repeat(300_000)),
    });
    const issues = new Issues();
    const begin = workMs();
    expect(await readSheets(bytes, 'list.xlsx', issues)).toBeUndefined();
    expect(workMs() - begin).toBeLessThan(5_000);
    expect(issues.sorted().map(({ code }) => code)).toEqual(['damaged-workbook']);
  },
  20_000,
);

test('one cell far out in a small workbook: refused before the blanks before it are filled in (issue 13.9)', async () => {
  const bytes = zipSync({
    'xl/workbook.xml': strToU8('<workbook/>'),
    'xl/worksheets/sheet1.xml': strToU8(
      '<worksheet><sheetData><row r="20200"><c r="IV20200"><v>1</v></c></row></sheetData></worksheet>',
    ),
  });
  expect(bytes.length).toBeLessThan(2_000);
  const issues = new Issues();
  const begin = workMs();
  expect(await readSheets(bytes, 'list.xlsx', issues)).toBeUndefined();
  expect(workMs() - begin).toBeLessThan(1_000);
  expect(issues.sorted().map(({ code, found }) => [code, found])).toEqual([
    ['workbook-too-large', '5171200 cells, blank ones between them included'],
  ]);
});
