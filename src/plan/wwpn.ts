/** World Wide Port Names (INCITS 489 FC-FS, Name_Identifier: 64 bits; from memory): usual notations in, lower case with colons out. */

const NOTATIONS = [
  /^([0-9a-f]{2})([:-])(?:[0-9a-f]{2}\2){6}[0-9a-f]{2}$/i,
  /^(?:[0-9a-f]{4}[.:-]){3}[0-9a-f]{4}$/i,
  /^[0-9a-f]{16}$/i,
];
/** Prefixes that systems print before the digits. Common practice, no source. */
const PREFIX = /^(?:0x|naa\.|nn-|wwpn[:= ]\s*)/i;

/** Undefined where the text is not exactly one name; the name of sixteen zeros names nothing. */
export function parseWwpn(text: string): string | undefined {
  const trimmed = text.trim().replace(PREFIX, '');
  if (!NOTATIONS.some((notation) => notation.test(trimmed))) return undefined;
  const hex = trimmed.replace(/[^0-9a-f]/gi, '').toLowerCase();
  return /^0+$/.test(hex) ? undefined : (hex.match(/../g) ?? []).join(':');
}
