import { describe, expect, test } from 'vitest';
import { widthOf, wrap } from '../../src/terminal/wrap.js';

const style = { width: 40, colour: false, unicode: true };

describe('wrap', () => {
  test('breaks at blanks, never past the width, and hangs the later lines under the first', () => {
    const text = wrap(style, 'one two three four five six seven eight nine ten', '  Do: ');
    expect(text).toBe('  Do: one two three four five six seven\n      eight nine ten\n');
  });

  test('counts a wide character as two columns (UAX #11)', () => {
    const lines = wrap(style, '書庫'.repeat(30)).trimEnd().split('\n');
    expect(lines.length).toBeGreaterThan(2);
    for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(39);
    expect(lines.join('')).toBe('書庫'.repeat(30));
  });

  test('breaks a word that is longer than a line, and loses none of it', () => {
    const word = 'iqn.2030-01.example:'.repeat(6);
    const lines = wrap(style, word, '    ').trimEnd().split('\n');
    expect(lines.map((line) => line.trim()).join('')).toBe(word);
  });

  test('a terminal narrower than any sense still gets its text', () => {
    expect(wrap({ ...style, width: 4 }, 'a b c', '      ')).toBe('      a b c\n');
  });

  test('ASCII consoles get ASCII for our own signs, and keep the letters of names', () => {
    expect(wrap({ ...style, unicode: false }, 'Zürich → loft … ≠ –')).toBe('Zürich -> loft ... != -\n');
  });
});
