/** The one way from text to markup. Whatever a device, a file or a person said becomes text and stays text. */
import { cleanText } from '../text/clean.js';

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Longest text of one value on the page, in characters. */
const VALUE_LIMIT = 300;

/** Cleaned, cut with its length told, escaped for element content and quoted attributes alike. */
export function text(value: string, limit: number = VALUE_LIMIT): string {
  // A result that was edited by hand may hold anything where a text should be.
  return cleanText(String(value), limit).replace(/[&<>"']/g, (character) => ENTITIES[character] ?? '');
}

/** Names of several parts, as in `loft-switch-1` and `vault-1/A/mgmt`: browsers break lines at a hyphen and after a stroke. */
const NAME = /--[\p{L}\p{N}_-]+|[\p{L}\p{N}_.]+(?:[-/:][\p{L}\p{N}_.]+)+/gu;

/** Text in which no name is broken over two lines; for content of elements alone. Names over `longest` characters may break. */
export function prose(value: string, limit?: number, longest: number = LONGEST_WHOLE): string {
  return text(value, limit).replace(NAME, (name) =>
    name.length > longest || !/[-/]/.test(name) ? name : `<span class="k">${name}</span>`,
  );
}

/** What fits a phone. */
const LONGEST_WHOLE = 28;

/** Ids up to this length are not broken over lines. */
const SHORT = 24;

/** Text in the monospaced face: ids, addresses, digests. */
export function code(value: string, limit?: number): string {
  return `<code${value.length <= SHORT ? ' class="k"' : ''}>${text(value, limit)}</code>`;
}

/** A command to copy: it breaks between its words and never inside one. */
export function command(line: string): string {
  const words = line.split(' ').map((word) => `<span>${text(word, 400)}</span>`);
  return `<code class="cmd">${words.join(' ')}</code>`;
}

export function items(lines: readonly string[], className = ''): string {
  if (lines.length === 0) return '';
  return `<ul${className === '' ? '' : ` class="${className}"`}>${lines.map((line) => `<li>${line}</li>`).join('')}</ul>`;
}

/** Tables up to this length stand on one sheet of paper. */
const ROWS_TOGETHER = 6;

/**
 * A table of already-marked-up cells; the first cell of each row is its head. Empty where there are no rows. The caption is for readers that
 * do not see the heading above; `shown` puts it on the page where no heading says the same.
 */
export function table(
  caption: string,
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  className = '',
  shown = false,
): string {
  if (rows.length === 0) return '';
  const head = heads
    .map((title) => (title === '' ? '<td></td>' : `<th scope="col">${text(title)}</th>`))
    .join('');
  const body = rows
    .map(
      ([first = '', ...rest]) =>
        `<tr><th scope="row">${first}</th>${rest.map((cell) => `<td>${cell}</td>`).join('')}</tr>`,
    )
    .join('\n');
  return `<div class="wide${rows.length > ROWS_TOGETHER ? '' : ' keep'}" tabindex="0" role="region" aria-label="${text(caption)}"><table class="plain ${className}"><caption${shown ? '' : ' class="unseen"'}>${text(caption)}</caption><thead><tr>${head}</tr></thead><tbody>
${body}</tbody></table></div>`;
}
