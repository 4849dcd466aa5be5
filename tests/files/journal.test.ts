/** What a journal keeps whatever ends the process (issue 13.13). */
import { appendFileSync, readFileSync, symlinkSync, truncateSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { journalLines, openJournal } from '../../src/files/journal.js';
import { folderWith } from '../cli/run.js';

const now = () => 0;

test('what was appended is there before it is closed', () => {
  const file = path.join(folderWith({}), 'journal');
  const journal = openJournal(file, 'begin', now);
  journal.append({ a: 1 });
  journal.append({ b: '\u2028\n' });
  expect(journalLines(readFileSync(file, 'utf8')).values).toEqual([{ a: 1 }, { b: '\u2028\n' }]);
  journal.close();
});

test('cut off anywhere, all lines before the cut are kept', () => {
  const file = path.join(folderWith({}), 'journal');
  const journal = openJournal(file, 'begin', now);
  for (let index = 0; index < 5; index += 1) journal.append({ index });
  journal.close();
  const text = readFileSync(file, 'utf8');
  for (let cut = 0; cut <= text.length; cut += 1) {
    const { values, damaged } = journalLines(text.slice(0, cut));
    expect(damaged).toBeUndefined();
    expect(values).toEqual(Array.from({ length: values.length }, (_, index) => ({ index })));
    expect(values.length).toBeGreaterThanOrEqual(text.slice(0, cut).split('\n').length - 1);
  }
});

test('gone on with after a cut: the half line costs itself alone', () => {
  const file = path.join(folderWith({}), 'journal');
  const first = openJournal(file, 'begin', now);
  first.append({ first: true });
  first.append({ second: true });
  first.close();
  truncateSync(file, readFileSync(file).length - 5);
  const second = openJournal(file, 'go-on', now);
  second.append({ third: true });
  second.close();
  const text = readFileSync(file, 'utf8');
  expect(journalLines(text).values).toEqual([{ first: true }, { third: true }]);
});

test('zeros at the end, as some disks leave them after a power cut, are no damage', () => {
  const file = path.join(folderWith({}), 'journal');
  const journal = openJournal(file, 'begin', now);
  journal.append({ a: 1 });
  journal.close();
  appendFileSync(file, Buffer.alloc(4096));
  expect(journalLines(readFileSync(file, 'utf8'))).toEqual({ values: [{ a: 1 }] });
});

test('a line changed in the middle is damage, and its number is said', () => {
  expect(journalLines('{"a":1}\n{"b":\n{"c":3}\n')).toMatchObject({ damaged: 2 });
});

test('what would be more than is read again is not written, and what is there stays whole', () => {
  const file = path.join(folderWith({}), 'journal');
  const first = openJournal(file, 'begin', now, 100);
  first.append({ a: 'x'.repeat(50) });
  first.append({ b: 'x'.repeat(50) });
  first.append({ c: 1 });
  first.close();
  expect(String(first.fault())).toContain('may hold 100 octets');
  expect(journalLines(readFileSync(file, 'utf8')).values).toEqual([{ a: 'x'.repeat(50) }]);
  const second = openJournal(file, 'go-on', now, 100);
  second.append({ d: 'x'.repeat(50) });
  second.close();
  expect(second.fault()).toBeDefined();
});

test('a link in its place is not followed', () => {
  const folder = folderWith({ kept: 'kept' });
  symlinkSync(path.join(folder, 'kept'), path.join(folder, 'journal'));
  expect(() => openJournal(path.join(folder, 'journal'), 'begin', now)).toThrow(/ELOOP/);
  expect(readFileSync(path.join(folder, 'kept'), 'utf8')).toBe('kept');
});

test.skipIf(process.platform !== 'linux')('a full disk ends the journal, not the run', () => {
  const journal = openJournal('/dev/full', 'go-on', now);
  journal.append({ a: 1 });
  journal.append({ b: 1 });
  journal.close();
  expect(journal.fault()).toMatchObject({ code: 'ENOSPC' });
});
