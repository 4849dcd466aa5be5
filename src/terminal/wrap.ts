import stringWidth from 'string-width';
import { cleanText } from '../text/clean.js';
import { plain, type TextStyle } from './style.js';

/** Narrower terminals are written as if they had this many columns; the terminal breaks the lines itself. */
const NARROWEST = 24;
/** Longer lines read badly on any screen. */
const WIDEST = 110;
const TEXT_LIMIT = 1200;

/** Clean text, broken at blanks to the width; words longer than a line are broken inside. `hanging` goes before all lines but the first. */
export function wrap(
  style: TextStyle,
  text: string,
  first = '',
  hanging = ' '.repeat(widthOf(first)),
): string {
  const room =
    Math.max(NARROWEST, Math.min(style.width, WIDEST) - 1) - Math.max(widthOf(first), widthOf(hanging));
  const words = plain(style, cleanText(text, TEXT_LIMIT))
    .split(' ')
    .flatMap((word) => pieces(word, room));
  const lines: string[] = [];
  let line = '';
  let taken = 0;
  for (const word of words) {
    const width = widthOf(word);
    if (line !== '' && taken + 1 + width > room) {
      lines.push(line);
      line = word;
      taken = width;
    } else {
      taken += line === '' ? width : width + 1;
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  lines.push(line);
  return lines.map((each, index) => `${index === 0 ? first : hanging}${each}\n`).join('');
}

/** Columns that a text takes, wide characters counted as two. */
export function widthOf(text: string): number {
  // What most texts are made of; the library looks at each character's properties.
  return /^[ -~]*$/.test(text) ? text.length : stringWidth(text);
}

export function padTo(text: string, columns: number): string {
  return text + ' '.repeat(Math.max(0, columns - widthOf(text)));
}

function pieces(word: string, room: number): string[] {
  if (widthOf(word) <= room) return [word];
  const parts: string[] = [];
  let part = '';
  let taken = 0;
  for (const character of word) {
    const width = widthOf(character);
    if (taken + width > room) {
      parts.push(part);
      part = '';
      taken = 0;
    }
    part += character;
    taken += width;
  }
  return [...parts, part];
}

/** Rows under heads, the first `texts` columns to the left and the figures after them to the right. */
export function columns(
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  texts: number,
): string {
  const widths = heads.map((head, index) =>
    Math.max(head.length, ...rows.map((row) => widthOf(row[index] ?? ''))),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, index) =>
        index < texts ? padTo(cell, widths[index] ?? 0) : cell.padStart(widths[index] ?? 0),
      )
      .join('  ')
      .trimEnd();
  return [heads, ...rows].map((row) => `  ${line(row)}\n`).join('');
}
