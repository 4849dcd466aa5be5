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
  return decodeAs(bytes, 'utf-8') ?? decodeAs(bytes, 'windows-1252');
}

function decodeAs(bytes: Uint8Array, encoding: Encoding): { text: string; encoding: Encoding } | undefined {
  try {
    return { text: new TextDecoder(encoding, { fatal: true }).decode(bytes), encoding };
  } catch {
    return undefined;
  }
}

function startsWith(bytes: Uint8Array, signature: readonly number[]): boolean {
  return signature.every((byte, index) => bytes[index] === byte);
}
