/** DER, as much of it as a certificate needs (ITU-T X.690): bytes out of values. Pure. */

export const UNIVERSAL = {
  integer: 0x02,
  bits: 0x03,
  octets: 0x04,
  oid: 0x06,
  text: 0x0c,
  shortTime: 0x17,
  time: 0x18,
  list: 0x30,
  set: 0x31,
} as const;

/** Tag, length, content (§8.1). */
export function encode(tag: number, ...parts: readonly Uint8Array[]): Uint8Array {
  const length = parts.reduce((sum, part) => sum + part.length, 0);
  const head = length < 0x80 ? [length] : longLength(length);
  return Uint8Array.from([tag, ...head, ...parts.flatMap((part) => [...part])]);
}

/** The long form: how many octets, then the length (§8.1.3.5). */
function longLength(length: number): number[] {
  const octets: number[] = [];
  for (let rest = length; rest > 0; rest >>>= 8) octets.unshift(rest & 0xff);
  return [0x80 | octets.length, ...octets];
}

export function list(...parts: readonly Uint8Array[]): Uint8Array {
  return encode(UNIVERSAL.list, ...parts);
}

/** Not negative: a leading zero octet where the first bit is set (§8.3). */
export function integer(bytes: Uint8Array): Uint8Array {
  const from = bytes.findIndex((byte) => byte !== 0);
  const short = from < 0 ? Uint8Array.of(0) : bytes.subarray(from);
  return encode(UNIVERSAL.integer, (short[0] ?? 0) & 0x80 ? Uint8Array.of(0, ...short) : short);
}

/** `1.2.840.10045.4.3.2` (§8.19). */
export function oid(dotted: string): Uint8Array {
  const [first = 0, second = 0, ...rest] = dotted.split('.').map(Number);
  const base128 = (value: number): number[] => {
    const octets = [value & 0x7f];
    for (let left = value >>> 7; left > 0; left >>>= 7) octets.unshift((left & 0x7f) | 0x80);
    return octets;
  };
  return encode(UNIVERSAL.oid, Uint8Array.from([first * 40 + second, ...rest].flatMap(base128)));
}

/** Whole octets: none of the last is unused (§8.6). */
export function bits(bytes: Uint8Array): Uint8Array {
  return encode(UNIVERSAL.bits, Uint8Array.of(0), bytes);
}

export function text(value: string): Uint8Array {
  return encode(UNIVERSAL.text, new TextEncoder().encode(value));
}

/** Whole seconds in UTC: UTCTime up to 2049, GeneralizedTime after (RFC 5280 §4.1.2.5). */
export function time(date: Date): Uint8Array {
  const written = `${date
    .toISOString()
    .replace(/\.\d+Z$/, '')
    .replace(/[-:T]/g, '')}Z`;
  const short = date.getUTCFullYear() < 2050;
  return encode(
    short ? UNIVERSAL.shortTime : UNIVERSAL.time,
    new TextEncoder().encode(short ? written.slice(2) : written),
  );
}
