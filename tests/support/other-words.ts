/** The same value with its words for people in other words, so that nothing can lean on what they say. */

/** Words for people, wherever they stand in the evidence. What a device says of itself is no word of ours. */
export const EVIDENCE_WORDS: ReadonlySet<string> = new Set([
  'reason',
  'detail',
  'mend',
  'add',
  'remove',
  'reachReason',
  'duplicateCheckReason',
  'truncated',
  'routesUnknown',
  'notes',
]);

/** The same in a result, with what the judge wrote: all but names, values, codes and states. */
export const RESULT_WORDS: ReadonlySet<string> = new Set([
  ...EVIDENCE_WORDS,
  'reasons',
  'why',
  'message',
  'advice',
  'evidence',
  'text',
  'measured',
]);

/** `say` makes the other words of each. Of a key in `words` every text below it is one, lists of objects apart. */
export function inOtherWords<T>(value: T, words: ReadonlySet<string>, say: (text: string) => string): T {
  return translated(value, words, say, false) as T;
}

function translated(
  value: unknown,
  words: ReadonlySet<string>,
  say: (text: string) => string,
  inWords: boolean,
): unknown {
  if (typeof value === 'string') return inWords ? say(value) : value;
  if (Array.isArray(value)) {
    // `evidence` of a result is what was seen from each place, `evidence` of a finding its lines.
    const own = inWords && value.every((one) => typeof one === 'string');
    return value.map((one) => translated(one, words, say, own));
  }
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, one]) => [key, translated(one, words, say, inWords || words.has(key))]),
  );
}

/** Letter by letter, in the order of the letters, so that every text keeps its length, its place among others and its difference from them. */
export function inOtherLetters(text: string): string {
  return text.replace(/[A-Za-z]/g, (letter) => {
    const code = letter.charCodeAt(0);
    return String.fromCharCode(letter <= 'Z' ? 0x0410 + code - 0x41 : 0x0430 + code - 0x61);
  });
}

/** What is left of a text without its words: its tags, signs, figures, line ends and lengths. */
export function shapeOf(text: string): string {
  return text.replace(/\p{L}/gu, 'x');
}
