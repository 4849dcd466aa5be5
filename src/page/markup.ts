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

/** Ids up to this length are not broken over lines. */
const SHORT = 24;

/** Text in the monospaced face: ids, addresses, digests. */
export function code(value: string, limit?: number): string {
  return `<code${value.length <= SHORT ? ' class="k"' : ''}>${text(value, limit)}</code>`;
}

export function items(lines: readonly string[], className = ''): string {
  if (lines.length === 0) return '';
  return `<ul${className === '' ? '' : ` class="${className}"`}>${lines.map((line) => `<li>${line}</li>`).join('')}</ul>`;
}

/** A table of already-marked-up cells; the first cell of each row is its head. Empty where there are no rows. */
export function table(
  caption: string,
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  className = '',
): string {
  if (rows.length === 0) return '';
  const head = heads.map((title) => `<th scope="col">${text(title)}</th>`).join('');
  const body = rows
    .map(
      ([first = '', ...rest]) =>
        `<tr><th scope="row">${first}</th>${rest.map((cell) => `<td>${cell}</td>`).join('')}</tr>`,
    )
    .join('\n');
  return `<div class="wide" tabindex="0" role="region" aria-label="${text(caption)}"><table class="plain ${className}"><caption>${text(caption)}</caption><thead><tr>${head}</tr></thead><tbody>
${body}</tbody></table></div>`;
}

/** `2030-01-02 03:04:05 UTC`; text that is no ISO time stays as it is. */
export function time(iso: string): string {
  const match = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d:\d\d)(?:\.\d+)?Z$/.exec(iso);
  return match ? `<time datetime="${text(iso)}">${match[1]} ${match[2]} UTC</time>` : text(iso);
}

/** Two times; the date is said once where it is the same. */
export function timeSpan(from: string, to: string): string {
  const day = from.slice(0, 10);
  if (day !== to.slice(0, 10)) return `${time(from)} to ${time(to)}`;
  const second = /T(\d\d:\d\d:\d\d)/.exec(to)?.[1];
  return second === undefined
    ? `${time(from)} to ${time(to)}`
    : `${time(from).replace(' UTC', '')} to ${second} UTC`;
}
