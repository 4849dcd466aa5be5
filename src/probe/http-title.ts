/** The title of a page, as text. No HTML parser: the page is hostile, the answer is one line. */
import { decodeHTML } from 'entities/decode';
import { cleanText } from '../text/clean.js';

// WHATWG HTML §13.2.5.2: a title is text up to its own end tag, markup in it included; a page that was cut may lack the end.
const TITLE = /<title(?:\s[^>]{0,256})?>([\s\S]*?)(?:<\/title[\s/>]|$)/i;
/** `contentType`: the header, which may name the character set; without one the page's own `<meta>` is believed. */
export function titleOf(body: Uint8Array, contentType: string | undefined): string | undefined {
  const text = decode(body, charsetOf(body, contentType));
  const found = TITLE.exec(text)?.[1];
  if (found === undefined) return undefined;
  const title = cleanText(decodeHTML(found));
  return title === '' ? undefined : title;
}

function charsetOf(body: Uint8Array, contentType: string | undefined): string {
  const fromHeader = /charset\s*=\s*"?([\w.:-]{1,40})/i.exec(contentType ?? '')?.[1];
  if (fromHeader !== undefined) return fromHeader;
  const head = Buffer.from(body.subarray(0, 2048)).toString('latin1');
  return /<meta[^>]{0,200}charset\s*=\s*["']?([\w.:-]{1,40})/i.exec(head)?.[1] ?? 'utf-8';
}

function decode(body: Uint8Array, charset: string): string {
  try {
    return new TextDecoder(charset).decode(body);
  } catch {
    return new TextDecoder('utf-8').decode(body);
  }
}
