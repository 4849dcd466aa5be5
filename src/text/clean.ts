/**
 * Text from devices and files, made safe to show anywhere: in a terminal, a page, a CSV cell.
 * White space folds to one blank; control, bidirectional and invisible formatting characters and lone surrogates become a visible
 * escape (`\u202e`), so that nothing is hidden and nothing acts.
 */
const WHITE_SPACE = /[\t\n\v\f\r \u0085\u00a0\u2028\u2029]+/g;
const ACTING =
  /\p{Cc}|\p{Cf}|\p{Cs}|\p{Co}|\u034f|\u115f|\u1160|\u17b4|\u17b5|[\u180b-\u180f]|\u3164|[\ufe00-\ufe0f]|\uffa0|[\ufff0-\ufffb]/gu;

/** Longest text kept from a device, in characters, unless the caller says otherwise. */
export const TEXT_LIMIT = 256;

export function cleanText(text: string, limit: number = TEXT_LIMIT): string {
  const length = text.length;
  // Escapes only lengthen, so a bounded slice is enough to fill the limit.
  const cleaned = text
    .slice(0, limit * 4)
    .replace(WHITE_SPACE, ' ')
    .trim()
    .replace(ACTING, visible);
  if (cleaned.length <= limit && length <= limit * 4) return cleaned;
  const kept = cleaned.slice(0, limit).replace(/\p{Cs}$/u, '');
  return `${kept}… (cut, ${length} characters)`;
}

/** A text of ours that quotes what devices say, no longer than `length`; the sign at its end shows where it was cut. */
export function cutText(text: string, length: number): string {
  return text.length <= length ? text : `${text.slice(0, length).replace(/\p{Cs}$/u, '')}…`;
}

/** Lines of our own that quote others: nothing in them acts on a terminal; their line ends stay. */
export function printable(text: string): string {
  return text
    .split('\n')
    .map((line) => line.replace(ACTING, visible))
    .join('\n');
}

function visible(character: string): string {
  const code = character.codePointAt(0) ?? 0;
  return code > 0xffff ? `\\u{${code.toString(16)}}` : `\\u${code.toString(16).padStart(4, '0')}`;
}
