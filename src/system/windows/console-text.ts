/** What the programs of Windows write is in the code page of the console, or in UTF-8 where somebody set that. */
import iconv from 'iconv-lite';

/** Strict: bytes that are no UTF-8 are not taken for it. */
const UTF8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: false });

/**
 * Text of these bytes. UTF-8 where they are (other code pages rarely come out as valid UTF-8 by chance, and ASCII is the same in all);
 * else by `codePage` (437, 850, 866, 932 …); without one, what cannot be read becomes U+FFFD.
 */
export function decodeConsole(bytes: Uint8Array, codePage?: number): string {
  try {
    return UTF8.decode(bytes);
  } catch {
    const encoding = codePage === undefined ? undefined : `cp${codePage}`;
    return encoding !== undefined && iconv.encodingExists(encoding)
      ? iconv.decode(Buffer.from(bytes), encoding)
      : new TextDecoder('utf-8').decode(bytes);
  }
}

export function isUtf8(bytes: Uint8Array): boolean {
  try {
    UTF8.decode(bytes);
    return true;
  } catch {
    return false;
  }
}

/** The number in what `chcp` prints, in any language; undefined for what is no such line. */
export function codePageOf(text: string): number | undefined {
  const number = Number(/(\d{3,5})\D*$/.exec(text.trim())?.[1]);
  return Number.isInteger(number) && number > 0 ? number : undefined;
}
