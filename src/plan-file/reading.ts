/** What a reader makes of one written value: the one meaning it has, or why it has none. */

export type Reading<T> =
  | { readonly ok: true; readonly value: T }
  | {
      readonly ok: false;
      readonly code: 'bad-value' | 'two-meanings';
      readonly expected: string;
      readonly nearest?: string | undefined;
    };

export function read<T>(value: T): Reading<T> {
  return { ok: true, value };
}

export function bad(expected: string, nearest?: string): Reading<never> {
  return { ok: false, code: 'bad-value', expected, nearest };
}

export function twoMeanings(expected: string): Reading<never> {
  return { ok: false, code: 'two-meanings', expected };
}

/** Blanks of every kind become one space, invisible marks go: spreadsheets and mail programs leave both behind. */
export function tidy(text: string): string {
  return text
    .replace(/[\u00ad\u200b-\u200d\u2060\ufeff]/gu, '')
    .replace(/[\s\u00a0\u2000-\u200a\u202f\u3000]+/gu, ' ')
    .trim();
}

const BLANK_WORDS = new Set([
  '',
  '-',
  '--',
  '---',
  '\u2013',
  '\u2014',
  'n/a',
  'n.a.',
  'na',
  'none',
  'nil',
  'null',
]);
const OPEN_WORDS = new Set(['tbd', 'tbc', 'tba', 't.b.d.', '?', '??', '???']);

/** Words that people put where there is nothing to say, or nothing yet. */
export function isBlank(text: string): boolean {
  const word = text.toLowerCase();
  return BLANK_WORDS.has(word) || OPEN_WORDS.has(word);
}
