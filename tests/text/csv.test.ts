import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { csvText } from '../../src/text/csv.js';

// RFC 4180 §2: points 5 to 7 say what is quoted and how.
test.each([
  ['plain', [['a', 'b']], 'a,b\r\n'],
  ['a comma', [['a,b', 'c']], '"a,b",c\r\n'],
  ['a quote', [['say "x"', '']], '"say ""x""",\r\n'],
  ['one half of a line end', [['a\nb', 'c\rd']], '"a\nb","c\rd"\r\n'],
])('%s', (_, rows, expected) => expect(csvText(rows)).toBe(expected));

test('what is written is read back, whatever it is', () => {
  const cell = fc.string({ unit: 'grapheme' });
  const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 2 }), { minLength: 1, maxLength: 5 });
  fc.assert(
    fc.property(table, (rows) => {
      expect(parse(csvText(rows))).toEqual(rows);
    }),
  );
});

test('quotes what the caller names besides', () => {
  expect(csvText([[' a', 'b']], /^\s/)).toBe('" a",b\r\n');
});
