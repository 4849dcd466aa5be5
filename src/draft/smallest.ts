/** How large a network would have to be. */
import { canonicalCidr, parseCidr } from '../plan/address.js';
import { covered, type Span } from '../review/span.js';
import { usableSpan } from './free.js';

/** Nobody is given more: the largest private block is a /8 (RFC 1918 §3), a site's IPv6 block a /48 (RFC 6177 §2). */
const SHORTEST = { 4: 8, 6: 48 } as const;

/** Length of the longest prefix around `cidr` that has `needed` addresses beside what is kept free; undefined where none has. */
export function smallestPrefix(cidr: string, needed: number, kept: readonly Span[]): number | undefined {
  const at = parseCidr(cidr);
  if (at === undefined) return undefined;
  for (let bits = at.prefixBits; bits >= SHORTEST[usableSpan(cidr).family]; bits -= 1) {
    const span = usableSpan(canonicalCidr(`${at.address}/${bits}`));
    if (span.last - span.first + 1n - covered(span, kept) >= BigInt(needed)) return bits;
  }
  return undefined;
}
