import { blockOf, type Family, familyOf, toNumber } from '../plan/address.js';
import type { AddressRange } from '../plan/model.js';

/** One address as a number, so that it is parsed once and compared often. */
export interface Point {
  readonly family: Family;
  readonly value: bigint;
}

/** Inclusive run of addresses of one family. */
export interface Span {
  readonly family: Family;
  readonly first: bigint;
  readonly last: bigint;
}

export function pointOf(address: string): Point {
  return { family: familyOf(address), value: toNumber(address) };
}

export function spanOfRange(range: AddressRange): Span {
  return { family: familyOf(range.first), first: toNumber(range.first), last: toNumber(range.last) };
}

export function spanOfCidr(cidr: string): Span {
  return blockOf(cidr);
}

export function within(span: Span, point: Point): boolean {
  return span.family === point.family && span.first <= point.value && point.value <= span.last;
}

/** How many addresses of `span` lie in at least one of `parts`. */
export function covered(span: Span, parts: readonly Span[]): bigint {
  const ordered = parts
    .filter((part) => part.family === span.family)
    .sort((a, b) => (a.first < b.first ? -1 : a.first > b.first ? 1 : 0));
  let total = 0n;
  let next = span.first;
  for (const part of ordered) {
    const first = atLeast(next, part.first);
    const last = -atLeast(-span.last, -part.last);
    if (first > last) continue;
    total += last - first + 1n;
    next = last + 1n;
  }
  return total;
}

/** Math.max knows no bigint. */
function atLeast(floor: bigint, value: bigint): bigint {
  if (value < floor) return floor;
  return value;
}
