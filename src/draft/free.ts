/** Which addresses of a network can be given out. Ranges are skipped whole, so that a /64 costs no more than a /24. */

import { familyOf, fromNumber, usableRange } from '../plan/address.js';
import type { AddressRange } from '../plan/model.js';
import { type Span, spanOfRange } from '../review/span.js';

/** Addresses that are not to be given out, lowest first. */
export function spansOf(ranges: readonly AddressRange[]): Span[] {
  return ranges
    .map(spanOfRange)
    .sort((a, b) => a.family - b.family || (a.first < b.first ? -1 : a.first > b.first ? 1 : 0));
}

/** Usable addresses of the network (usableRange says which are) that lie in none of the sorted spans, lowest first. */
export function* freeAddresses(cidr: string, kept: readonly Span[]): Generator<string> {
  const family = familyOf(cidr);
  const { first, last } = usableRange(cidr);
  const end: Span = { family, first: last + 1n, last: last + 1n };
  let next = first;
  for (const span of [...kept.filter((one) => one.family === family && one.first <= last), end]) {
    for (; next < span.first; next += 1n) yield fromNumber(next, family);
    if (span.last >= next) next = span.last + 1n;
  }
}

export function usableSpan(cidr: string): Span {
  const { first, last } = usableRange(cidr);
  return { family: familyOf(cidr), first, last };
}
