import { expect, test } from 'vitest';
import { lines, readList } from './helpers.js';

const ids = (text: string) =>
  readList(text).rows.map((row) => [row.written.device, row.written.port, row.at.row, row.at.line]);

test.each([
  [
    'RFC 4180 §2.1: CRLF',
    'device,port,address\r\nv,a,192.0.2.1\r\nv,b,192.0.2.2\r\n',
    [
      ['v', 'a', 2, 2],
      ['v', 'b', 3, 3],
    ],
  ],
  ['RFC 4180 §2.2: no line break at the end', 'device,port,address\nv,a,192.0.2.1', [['v', 'a', 2, 2]]],
  [
    'RFC 4180 §2.5 and §2.7: quotation marks, doubled inside',
    'device,port,address\n"v ""one""",a,192.0.2.1\n',
    [['v "one"', 'a', 2, 2]],
  ],
  ['bare carriage returns', 'device,port,address\rv,a,192.0.2.1\r', [['v', 'a', 2, 2]]],
  [
    'a quotation mark in the middle of a field',
    'device,port,address\nv 19" rack,a,192.0.2.1\n',
    [['v 19" rack', 'a', 2, 2]],
  ],
  [
    'blank lines count as rows, as in a spreadsheet',
    '\n\ndevice,port,address\n\nv,a,192.0.2.1\n',
    [['v', 'a', 5, 5]],
  ],
  [
    'a first line that names the separator',
    'sep=;\ndevice;port;address\nv;a;192.0.2.1\n',
    [['v', 'a', 3, 3]],
  ],
  ['rows shorter than the header', 'device,port,address,mac,note\nv,a,192.0.2.1\n', [['v', 'a', 2, 2]]],
  [
    'commas in a list with semicolons',
    'device;port;address;note\nv;a;192.0.2.1;one, two, three\n',
    [['v', 'a', 2, 2]],
  ],
])('%s', (_what, text, expected) => {
  expect(ids(text)).toEqual(expected);
});

test('RFC 4180 §2.6: a line break in quotation marks; row and line part ways after it', () => {
  const { rows } = readList('device,port,address,note\nv,a,192.0.2.1,"two\nlines"\nv,b,192.0.2.2,\n');
  expect(rows.map((row) => [row.written.note, row.at.row])).toEqual([
    ['two lines', 2],
    [undefined, 3],
  ]);
  expect(rows[1]?.at.line).toBe(4);
});

test('a quotation mark that nothing closes', () => {
  const { rows, issues } = readList('device,port,address\nv,a,"192.0.2.1\nv,b,192.0.2.2\n');
  expect(rows).toEqual([]);
  expect(lines(issues)).toEqual([
    'list.csv, line 2: the CSV cannot be read on from here: a quotation mark opens a field and none closes it',
  ]);
});

test('a header that lacks columns names each, and what may be meant', () => {
  const { issues } = readList('Device,Prt,Adress,Controller,Role\nv,a,192.0.2.1,A,data\n');
  expect(lines(issues)).toEqual([
    'list.csv, row 1: the header lacks the column "port"; is it the one called "Prt"?',
    'list.csv, row 1: the header lacks the column "address"; is it the one called "Adress"?',
  ]);
});

test('text that is no list at all', () => {
  const { issues } = readList('Dear all,\nplease find the plan attached.\n');
  expect(lines(issues)).toEqual([
    'list.csv: no header row found, expected one with the columns device, port, address',
  ]);
});

test('a header printed again further down is no endpoint', () => {
  expect(
    ids('device,port,address\nv,a,192.0.2.1\nDevice,Port,Address\nv,b,192.0.2.2\n').map((row) => row[1]),
  ).toEqual(['a', 'b']);
});

test('a cell under no header is said, not lost silently', () => {
  const { issues } = readList('device,port,address\nv,a,192.0.2.1,stray\n');
  expect(lines(issues)).toEqual([
    'list.csv, row 2: the row is wider than the header: found "stray" under no column',
  ]);
});

test('a header that misspells one optional column offers the nearest', () => {
  const { issues } = readList('device,port,address,netwrok\nv,a,192.0.2.1,mgmt\n');
  expect(lines(issues)).toEqual([
    'list.csv, row 1, column "netwrok": unknown column "netwrok", kept as a note; did you mean "network"?',
  ]);
});

test.each([
  ['of a million commas', 900_000, /list\.csv, line 3: .*a row is longer than 100000 characters/],
  [
    'of a thousand commas',
    1_000,
    /list\.csv, line 3: .*more columns than any list: found 1001, expected at most 256/,
  ],
])('a row %s is refused before it becomes cells (issue 13.9)', (_, commas, words) => {
  const { rows, issues } = readList(
    `device,port,address\nv,a,192.0.2.1\n${`${','.repeat(commas)}\n`.repeat(8)}`,
  );
  expect(rows).toEqual([]);
  expect(lines(issues)).toEqual([expect.stringMatching(words)]);
});
