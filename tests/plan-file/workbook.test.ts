/** Workbooks are made with write-excel-file, or by hand where it cannot write what real ones hold. */

import dns from 'node:dns';
import { readFileSync } from 'node:fs';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { expect, test, vi } from 'vitest';
import writeWorkbook from 'write-excel-file/node';
import { workMs } from '../support/work.js';
import { errorsOf, lines, load, loadGood } from './helpers.js';

type Value = string | number | boolean | Date | null;

async function workbook(
  sheets: Readonly<Record<string, readonly (readonly Value[])[]>>,
): Promise<Uint8Array> {
  const written = Object.entries(sheets).map(([sheet, rows]) => ({
    sheet,
    data: rows.map((row) =>
      row.map((value) =>
        value === null ? null : value instanceof Date ? { value, format: 'dd/mm/yyyy' } : { value },
      ),
    ),
  }));
  return await writeWorkbook(written).toBuffer();
}

/** The workbook with one part rewritten. */
function rewritten(bytes: Uint8Array, part: RegExp, change: (xml: string) => string): Uint8Array {
  const parts = unzipSync(bytes);
  for (const [name, content] of Object.entries(parts))
    if (part.test(name)) parts[name] = strToU8(change(Buffer.from(content).toString('utf8')));
  return zipSync(parts);
}

const HEADER = ['Device', 'Controller', 'Port', 'Address', 'Speed', 'MTU', 'Virtual'] as const;

test('numbers, booleans and text in cells come as the text they show', async () => {
  const bytes = await workbook({
    Addresses: [
      ['Harbour Library', null],
      [],
      [...HEADER],
      ['vault-1', 1, 5, '192.0.2.11/24', 10_000, 9000, true],
      ['vault-1', 2, 5, '192.0.2.12/24', '2.5G', '1500', false],
      [null, null, null],
    ],
  });
  const plan = await loadGood({ 'list.xlsx': bytes }, 'list.xlsx');
  expect(plan.endpoints.map((one) => [one.id, one.address, one.speedMbps, one.mtu, one.virtual])).toEqual([
    ['vault-1/1/5', '192.0.2.11', 10_000, 9000, true],
    ['vault-1/2/5', '192.0.2.12', 2500, 1500, false],
  ]);
  expect(plan.endpoints[0]?.at).toEqual({ file: 'list.xlsx', sheet: 'Addresses', row: 4 });
});

test('an error names the sheet, the row and the column', async () => {
  const bytes = await workbook({
    Ports: [[...HEADER], ['vault-1', 'A', 'mgmt', '192.0.2.300', null, null, null]],
  });
  const loaded = await load({ 'list.xlsx': bytes }, 'list.xlsx');
  expect(lines(loaded.issues)).toEqual([
    'list.xlsx, sheet "Ports", row 2, column "Address": found "192.0.2.300", expected an IPv4 or IPv6 address',
  ]);
});

test('a port that the spreadsheet made a date of is refused', async () => {
  const bytes = await workbook({
    Ports: [[...HEADER], ['vault-1', 'A', new Date(Date.UTC(2026, 0, 2)), '192.0.2.11', null, null, null]],
  });
  const loaded = await load({ 'list.xlsx': bytes }, 'list.xlsx');
  expect(loaded.issues.map((issue) => [issue.code, issue.found])).toContainEqual([
    'date-in-cell',
    '2026-01-02',
  ]);
});

test('of several sheets the one with the header is read', async () => {
  const bytes = await workbook({
    Notes: [['Read me first'], ['device lists are on the next sheet']],
    Ports: [[...HEADER], ['vault-1', 'A', 'mgmt', '192.0.2.11/24', null, null, null]],
  });
  const plan = await loadGood({ 'list.xlsx': bytes }, 'list.xlsx');
  expect(plan.endpoints.map((one) => one.at.sheet)).toEqual(['Ports']);
});

test('two sheets with the header are two meanings', async () => {
  const rows = [[...HEADER], ['vault-1', 'A', 'mgmt', '192.0.2.11/24', null, null, null]];
  const loaded = await load({ 'list.xlsx': await workbook({ Old: rows, New: rows }) }, 'list.xlsx');
  expect(lines(loaded.issues)).toEqual([
    'list.xlsx: several sheets look like an address list: "Old", "New"; keep one',
  ]);
});

test('a formula gives the value that was kept, and its error is refused', async () => {
  const bytes = await workbook({
    Ports: [[...HEADER], ['vault-1', 'A', 'mgmt', 'KEPT', 'WRONG', null, null]],
  });
  const withFormulas = rewritten(bytes, /worksheets\/sheet1\.xml$/, (xml) => {
    const cell = (column: string, type: string, value: string) =>
      `<c r="${column}2" t="${type}"><f>A1</f><v>${value}</v></c>`;
    return xml
      .replace(/<c r="D2"[^>]*>.*?<\/c>/, cell('D', 'str', '192.0.2.11/24'))
      .replace(/<c r="E2"[^>]*>.*?<\/c>/, cell('E', 'e', '#REF!'));
  });
  const loaded = await load({ 'list.xlsx': withFormulas }, 'list.xlsx');
  expect(lines(errorsOf(loaded.issues))).toEqual([
    'list.xlsx, sheet "Ports", row 2, column "Speed": the cell holds a formula error (#REF!), expected a value',
  ]);
});

test('a workbook that would unpack to tens of megabytes is refused unpacked', async () => {
  const bytes = await workbook({ Ports: [[...HEADER]] });
  const bomb = rewritten(bytes, /sharedStrings\.xml$/, (xml) => xml + ' '.repeat(80_000_000));
  expect(bomb.length).toBeLessThan(1_000_000);
  const started = workMs();
  const loaded = await load({ 'list.xlsx': bomb }, 'list.xlsx');
  expect(lines(loaded.issues)).toEqual([
    'list.xlsx: the workbook unpacks too large: found 80 MB, expected at most 60 MB',
  ]);
  expect(workMs() - started).toBeLessThan(2000);
});

test('a cell at the far corner of the sheet is refused', async () => {
  const bytes = await workbook({ Ports: [[...HEADER]] });
  const far = rewritten(bytes, /worksheets\/sheet1\.xml$/, (xml) =>
    xml.replace('</sheetData>', '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'),
  );
  const loaded = await load({ 'list.xlsx': far }, 'list.xlsx');
  expect(loaded.issues.map((issue) => issue.code)).toEqual(['workbook-too-large']);
});

/** One endpoint, and a sheet whose XML is changed. */
async function sheetWith(change: (xml: string) => string): Promise<Uint8Array> {
  const bytes = await workbook({
    Ports: [[...HEADER], ['vault-1', 'A', 'mgmt', '192.0.2.11/24', null, null, null]],
  });
  return rewritten(bytes, /worksheets\/sheet1\.xml$/, change);
}

test.each([
  [
    'elements nested without end',
    (xml: string) => xml.replace('</sheetData>', `${'<row><c>'.repeat(100_000)}</sheetData>`),
  ],
  [
    'elements nested and closed',
    (xml: string) =>
      xml.replace('</worksheet>', `${'<a>'.repeat(100_000)}${'</a>'.repeat(100_000)}</worksheet>`),
  ],
  [
    'entities that multiply',
    (xml: string) =>
      `<!DOCTYPE x [<!ENTITY a "${'y'.repeat(1000)}">${Array.from({ length: 20 }, (_, n) => `<!ENTITY a${n + 1} "${`&a${n === 0 ? '' : n};`.repeat(10)}">`).join('')}]>${xml.replace(/<\?xml[^>]*>/, '').replace('</sheetData>', '<row r="3"><c r="A3" t="inlineStr"><is><t>&a20;</t></is></c></row></sheetData>')}`,
  ],
  [
    'an entity that names a file',
    (xml: string) =>
      `<!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/hostname">]>${xml.replace(/<\?xml[^>]*>/, '').replace('</sheetData>', '<row r="3"><c r="A3" t="inlineStr"><is><t>&f;</t></is></c></row></sheetData>')}`,
  ],
  [
    'a text that stands at no place of the list of texts',
    (xml: string) =>
      xml.replace('</sheetData>', '<row r="3"><c r="A3" t="s"><v>99999999999</v></c></row></sheetData>'),
  ],
  [
    'rows and cells without a number',
    (xml: string) => xml.replace('</sheetData>', `${'<row><c/></row>'.repeat(50)}</sheetData>`),
  ],
])('a sheet with %s: a plan or a refusal, soon', async (_what, change) => {
  const bytes = await sheetWith(change);
  const began = workMs();
  const loaded = await load({ 'list.xlsx': bytes }, 'list.xlsx');
  expect(workMs() - began).toBeLessThan(10_000);
  const said = JSON.stringify(loaded);
  expect(said.length).toBeLessThan(100_000);
  expect(said).not.toContain(readFileSync('/etc/hostname', 'utf8').trim() || 'no name');
  if (loaded.ok) expect(loaded.plan.endpoints.map(({ address }) => address)).toContain('192.0.2.11');
});

test('formulas that ask elsewhere and links to other workbooks are left alone: what was kept is read', async () => {
  const fetched = vi.spyOn(globalThis, 'fetch').mockRejectedValue(new Error('nothing may be fetched'));
  const looked = vi.spyOn(dns, 'lookup');
  const formula = 'WEBSERVICE(&quot;http://198.51.100.7/&quot;)+[1]Sheet1!A1';
  const sheet = await sheetWith((xml) =>
    xml.replace(/<c r="A2"[^>]*>.*?<\/c>/, `<c r="A2" t="str"><f>${formula}</f><v>vault-7</v></c>`),
  );
  const bytes = zipSync({
    ...unzipSync(sheet),
    'xl/externalLinks/externalLink1.xml': strToU8('<externalLink><externalBook r:id="rId1"/></externalLink>'),
    'xl/externalLinks/_rels/externalLink1.xml.rels': strToU8(
      '<Relationships><Relationship Id="rId1" Target="file:///etc/hostname" TargetMode="External"/></Relationships>',
    ),
    'xl/../../outside.txt': strToU8('nothing is written'),
  });
  const plan = await loadGood({ 'list.xlsx': bytes }, 'list.xlsx');
  expect(plan.endpoints.map(({ device, address }) => [device, address])).toEqual([['vault-7', '192.0.2.11']]);
  expect(fetched).not.toHaveBeenCalled();
  expect(looked).not.toHaveBeenCalled();
});

test('of a part that states less than it unpacks to, no more than that is unpacked', async () => {
  const bytes = await sheetWith((xml) => xml + ' '.repeat(12_000_000));
  const lying = Buffer.from(bytes);
  // APPNOTE.TXT of the ZIP format, 4.3.12: the size unpacked stands 24 octets behind the signature of an entry of the directory.
  for (let at = lying.indexOf('PK\x01\x02'); at !== -1; at = lying.indexOf('PK\x01\x02', at + 4))
    if (lying.readUInt32LE(at + 24) > 1_000_000) lying.writeUInt32LE(200, at + 24);
  const loaded = await load({ 'list.xlsx': lying }, 'list.xlsx');
  // All of it would be a list of one endpoint; the first 200 octets are none.
  expect(errorsOf(loaded.issues).length).toBeGreaterThan(0);
});

test.each([
  ['an archive of something else', () => zipSync({ 'readme.txt': strToU8('hello') })],
  ['an archive cut short', () => zipSync({ 'xl/workbook.xml': strToU8('<workbook/>') }).subarray(0, 60)],
  ['a workbook without parts', () => zipSync({ 'xl/workbook.xml': strToU8('<workbook/>') })],
])('%s', async (_what, make) => {
  const loaded = await load({ 'list.xlsx': make() }, 'list.xlsx');
  expect(loaded.issues.map((issue) => issue.code)).toEqual(['damaged-workbook']);
});

test('CSV text under the name of a workbook is read as what it is', async () => {
  const plan = await loadGood(
    { 'list.xlsx': 'device,port,address\nvault-1,mgmt,192.0.2.11/24\n' },
    'list.xlsx',
  );
  expect(plan.endpoints).toHaveLength(1);
});
