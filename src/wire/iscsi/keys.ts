/** Text of iSCSI negotiation (RFC 7143 §6.1): `key=value`, each ended by one zero octet. */
import { textOf, u8 } from '../bytes.js';
import { type Decoded, decoded, refuse } from '../decoded.js';

export type KeyValue = readonly [key: string, value: string];

export function encodeKeys(pairs: readonly KeyValue[]): Uint8Array {
  return new TextEncoder().encode(pairs.map(([key, value]) => `${key}=${value}\0`).join(''));
}

/**
 * Keys are case-sensitive and come in order, repeated ones too. A last pair without its zero is taken, since the segment ends it;
 * empty pieces (zeros counted as data by some senders) are stepped over.
 */
export function decodeKeys(bytes: Uint8Array): Decoded<readonly KeyValue[]> {
  const pairs: KeyValue[] = [];
  let start = 0;
  for (let at = 0; at <= bytes.length; at += 1) {
    if (at < bytes.length && u8(bytes, at) !== 0) continue;
    if (at > start) {
      const text = textOf(bytes.subarray(start, at));
      const equals = text.indexOf('=');
      if (equals <= 0) return refuse('malformed', start, 'iSCSI: text that is no key=value');
      pairs.push([text.slice(0, equals), text.slice(equals + 1)]);
    }
    start = at + 1;
  }
  return decoded(pairs);
}

export function keyValue(pairs: readonly KeyValue[], key: string): string | undefined {
  return pairs.find(([name]) => name === key)?.[1];
}
