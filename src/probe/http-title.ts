/** The title of a page, as text. No HTML parser: the page is hostile, the answer is one line. */
import { cleanText } from '../text/clean.js';

// WHATWG HTML §13.2.5.2: a title is text up to its own end tag, markup in it included; a page that was cut may lack the end.
const TITLE = /<title(?:\s[^>]{0,256})?>([\s\S]*?)(?:<\/title[\s/>]|$)/i;
const NAMED: Readonly<Record<string, string>> = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  apos: "'",
  nbsp: ' ',
  copy: '©',
  reg: '®',
  trade: '™',
  ndash: '–',
  mdash: '—',
  hellip: '…',
  middot: '·',
  bull: '•',
  auml: 'ä',
  ouml: 'ö',
  uuml: 'ü',
  Auml: 'Ä',
  Ouml: 'Ö',
  Uuml: 'Ü',
  szlig: 'ß',
  eacute: 'é',
  egrave: 'è',
};

/** `contentType`: the header, which may name the character set; without one the page's own `<meta>` is believed. */
export function titleOf(body: Uint8Array, contentType: string | undefined): string | undefined {
  const text = decode(body, charsetOf(body, contentType));
  const found = TITLE.exec(text)?.[1];
  if (found === undefined) return undefined;
  const title = cleanText(decodeEntities(found));
  return title === '' ? undefined : title;
}

export function decodeEntities(text: string): string {
  return text.replace(/&(?:#(\d{1,7})|#x([0-9a-f]{1,6})|([a-z]{2,8}));/gi, (whole, decimal, hex, name) => {
    if (name !== undefined) return Object.hasOwn(NAMED, name) ? (NAMED[name] ?? whole) : whole;
    const code = decimal === undefined ? Number.parseInt(hex, 16) : Number(decimal);
    return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : whole;
  });
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
