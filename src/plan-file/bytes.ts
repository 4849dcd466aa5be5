/** What a file's bytes are, and its text where it is text. */

export type Content =
  | { readonly kind: 'empty' }
  | { readonly kind: 'workbook' }
  | { readonly kind: 'old-workbook' }
  | { readonly kind: 'binary' }
  | { readonly kind: 'text'; readonly text: string; readonly encoding: Encoding };

export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';

/** PKWARE APPNOTE §4.3.7: local file header. */
const ZIP_SIGNATURE = [0x50, 0x4b, 0x03, 0x04];
/** [MS-CFB] §2.2: header signature of the compound file that .xls is. */
const COMPOUND_SIGNATURE = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1];
/** Controls that no list holds: all of C0 but tab, line feed, vertical tab (a line break in a cell), form feed, return, and ^Z (DOS end of file). */
const BINARY_CONTROLS = /[\u0000-\u0008\u000e-\u0019\u001b-\u001f]/;

export function contentOf(bytes: Uint8Array): Content {
  if (bytes.length === 0) return { kind: 'empty' };
  if (startsWith(bytes, ZIP_SIGNATURE)) return { kind: 'workbook' };
  if (startsWith(bytes, COMPOUND_SIGNATURE)) return { kind: 'old-workbook' };
  const decoded = decode(bytes);
  if (decoded === undefined || BINARY_CONTROLS.test(decoded.text)) return { kind: 'binary' };
  if (decoded.text.trim() === '') return { kind: 'empty' };
  return { kind: 'text', ...decoded };
}

/** UTF-16 where a byte order mark says so, else UTF-8, else Windows-1252, which has a meaning for every byte. */
function decode(bytes: Uint8Array): { text: string; encoding: Encoding } | undefined {
  if (startsWith(bytes, [0xff, 0xfe])) return decodeAs(bytes, 'utf-16le');
  if (startsWith(bytes, [0xfe, 0xff])) return decodeAs(bytes, 'utf-16be');
  return decodeAs(bytes, 'utf-8') ?? { text: decodeWindows1252(bytes), encoding: 'windows-1252' };
}

function decodeAs(bytes: Uint8Array, encoding: Encoding): { text: string; encoding: Encoding } | undefined {
  try {
    return { text: new TextDecoder(encoding, { fatal: true }).decode(bytes), encoding };
  } catch {
    return undefined;
  }
}

/** Windows-1252 at 0x80 to 0x9f; the rest is Latin-1 (WHATWG Encoding, index-windows-1252). Node 20's own decoder reads Latin-1 there. */
const HIGH_PUNCTUATION =
  '\u20ac\u0081\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u008d\u017d\u008f' +
  '\u0090\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u009d\u017e\u0178';

function decodeWindows1252(bytes: Uint8Array): string {
  return Buffer.from(bytes)
    .toString('latin1')
    .replace(/[\u0080-\u009f]/g, (character) => HIGH_PUNCTUATION.charAt(character.charCodeAt(0) - 0x80));
}

function startsWith(bytes: Uint8Array, signature: readonly number[]): boolean {
  return signature.every((byte, index) => bytes[index] === byte);
}
