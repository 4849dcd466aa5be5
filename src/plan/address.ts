/** Address arithmetic over ipaddr.js. Text in, text out; IPv4 and IPv6 (RFC 4632, RFC 4291, text form RFC 5952). */
import ipaddr from 'ipaddr.js';

export type Family = 4 | 6;

export interface Cidr {
  /** Canonical text of the address as written (host bits kept). */
  readonly address: string;
  readonly prefixBits: number;
  readonly family: Family;
}

/** A site asks for the same few thousand addresses and networks over and over: what came of a text is kept. */
const KEPT = 32_768;

function kept<Result>(work: (text: string) => Result): (text: string) => Result {
  const known = new Map<string, Result>();
  return (text) => {
    const before = known.get(text);
    if (before !== undefined) return before;
    const result = work(text);
    // A device may send any number of them.
    if (known.size >= KEPT) known.clear();
    known.set(text, result);
    return result;
  };
}

/** What can be an address at all. The library finds out by throwing, which is slow for a word that is none. */
const LIKE_IPV4 = /^\d{1,3}(?:\.\d{1,3}){3}$/;
const LIKE_IPV6 = /^[\da-f:.]+$/i;

/** Canonical text, or undefined where the text is not exactly one address. Leading zeros and short IPv4 forms are refused. */
export const parseAddress = kept((text): string | undefined => {
  if (LIKE_IPV4.test(text) && ipaddr.IPv4.isValidFourPartDecimal(text)) {
    return text.split('.').some((part) => part.length > 1 && part.startsWith('0')) ? undefined : text;
  }
  if (!text.includes(':') || !LIKE_IPV6.test(text) || !ipaddr.IPv6.isValid(text)) return undefined;
  return ipaddr.IPv6.parse(text).toRFC5952String();
});

export function familyOf(address: string): Family {
  return address.includes(':') ? 6 : 4;
}

export function addressBits(family: Family): 32 | 128 {
  return family === 4 ? 32 : 128;
}

/** `address/prefix`; undefined where either half is wrong. */
export const parseCidr = kept((text): Cidr | undefined => {
  const slash = text.indexOf('/');
  if (slash < 0) return undefined;
  const address = parseAddress(text.slice(0, slash));
  const digits = text.slice(slash + 1);
  if (address === undefined || !/^(0|[1-9]\d{0,2})$/.test(digits)) return undefined;
  const prefixBits = Number(digits);
  const family = familyOf(address);
  return prefixBits <= addressBits(family) ? { address, prefixBits, family } : undefined;
});

/** Numeric value of a canonical address. */
export const toNumber = kept((address): bigint => {
  const bytes = ipaddr.parse(address).toByteArray();
  return bytes.reduce((sum, byte) => (sum << 8n) | BigInt(byte), 0n);
});

export function fromNumber(value: bigint, family: Family): string {
  const bytes: number[] = [];
  for (let shift = addressBits(family) - 8; shift >= 0; shift -= 8)
    bytes.push(Number((value >> BigInt(shift)) & 0xffn));
  const parsed = ipaddr.fromByteArray(bytes);
  return parsed instanceof ipaddr.IPv6 ? parsed.toRFC5952String() : parsed.toString();
}

/** Order by family, then by value. */
export function compareAddresses(a: string, b: string): number {
  const family = familyOf(a) - familyOf(b);
  if (family !== 0) return family;
  const left = toNumber(a);
  const right = toNumber(b);
  return left < right ? -1 : left > right ? 1 : 0;
}

/** Everybody's own (RFC 6890 §2.2.2 and §2.2.3): it never leaves the machine. */
export function isLoopback(address: string): boolean {
  return isIn(address, 'loopback');
}

/** 169.254.0.0/16 (RFC 3927 §2.1), fe80::/10 (RFC 4291 §2.5.6): good on one link only, never routed. */
export function isLinkLocal(address: string): boolean {
  return isIn(address, 'linkLocal');
}

/** fe80::/10 alone: a socket needs the port with it (RFC 4007 §6 and §11), since every port has that network. */
export function needsZone(address: string): boolean {
  return address.includes(':') && isLinkLocal(address);
}

/** `fe80::1%eth0` and `FE80:0::1` alike as `fe80::1`; any other text as it is. */
export function withoutZone(text: string): string {
  const bare = text.split('%', 1)[0] ?? text;
  return parseAddress(bare) ?? bare;
}

function isIn(address: string, range: 'loopback' | 'linkLocal'): boolean {
  return rangeOf(address) === range;
}

const rangeOf = kept((address): string => (ipaddr.isValid(address) ? ipaddr.parse(address).range() : 'none'));

/** 255.255.255.0 -> 24. Undefined for what is no mask (RFC 4632 §3.1: ones, then zeros). */
export function prefixOfMask(mask: string): number | undefined {
  const address = parseAddress(mask);
  if (address === undefined || familyOf(address) === 6) return undefined;
  return ipaddr.IPv4.parse(address).prefixLengthFromSubnetMask() ?? undefined;
}

/** Prefix bits of a CIDR text; undefined where there is none. */
export function prefixBitsOf(cidr: string | undefined): number | undefined {
  return cidr === undefined ? undefined : parseCidr(cidr)?.prefixBits;
}

/** The address of a CIDR text as written, host bits kept; a text without a prefix is one already. */
export function hostOf(cidr: string): string {
  return parseCidr(cidr)?.address ?? cidr;
}

export interface Block {
  readonly family: Family;
  readonly prefixBits: number;
  readonly first: bigint;
  readonly last: bigint;
}

/** The block a CIDR text names, whatever host bits it carries. Throws RangeError on text that parseCidr refuses. */
export const blockOf = kept((cidr): Block => {
  const parsed = parseCidr(cidr);
  if (parsed === undefined) throw new RangeError(`not a CIDR: ${cidr}`);
  const hostBits = BigInt(addressBits(parsed.family) - parsed.prefixBits);
  const first = (toNumber(parsed.address) >> hostBits) << hostBits;
  return { family: parsed.family, prefixBits: parsed.prefixBits, first, last: first + (1n << hostBits) - 1n };
});

/** Canonical `network/prefix` with the host bits zero. */
export function canonicalCidr(cidr: string): string {
  const block = blockOf(cidr);
  return `${fromNumber(block.first, block.family)}/${block.prefixBits}`;
}

export function cidrContains(cidr: string, address: string): boolean {
  const block = blockOf(cidr);
  if (block.family !== familyOf(address)) return false;
  const value = toNumber(address);
  return value >= block.first && value <= block.last;
}

export function cidrsOverlap(a: string, b: string): boolean {
  const left = blockOf(a);
  const right = blockOf(b);
  return left.family === right.family && left.first <= right.last && right.first <= left.last;
}

/**
 * First and last address that a host may have. IPv4: network and broadcast are left out up to /30 (RFC 1122 §3.2.1.3),
 * a /31 has two hosts (RFC 3021 §2.1), a /32 one. IPv6: all (the subnet-router anycast address, RFC 4291 §2.6.1, is left out up to /126).
 */
export function usableRange(cidr: string): {
  readonly first: bigint;
  readonly last: bigint;
  readonly count: bigint;
} {
  const block = blockOf(cidr);
  const hostBits = addressBits(block.family) - block.prefixBits;
  const first = hostBits >= 2 ? block.first + 1n : block.first;
  const last = hostBits >= 2 && block.family === 4 ? block.last - 1n : block.last;
  return { first, last, count: last - first + 1n };
}

/** `network` or `broadcast` where the address is that of its block (RFC 1122 §3.2.1.3; not on /31 and /32, RFC 3021). */
export function specialInBlock(cidr: string, address: string): 'network' | 'broadcast' | undefined {
  const block = blockOf(cidr);
  if (block.family !== 4 || block.prefixBits >= 31 || familyOf(address) !== 4) return undefined;
  const value = toNumber(address);
  if (value === block.first) return 'network';
  return value === block.last ? 'broadcast' : undefined;
}

export function rangeContains(range: { first: string; last: string }, address: string): boolean {
  return (
    familyOf(range.first) === familyOf(address) &&
    compareAddresses(range.first, address) <= 0 &&
    compareAddresses(address, range.last) <= 0
  );
}

/** Every usable host address of a block, in order. The caller bounds the size. */
export function* hostsOf(cidr: string): Generator<string> {
  const { family } = blockOf(cidr);
  const { first, last } = usableRange(cidr);
  for (let value = first; value <= last; value += 1n) yield fromNumber(value, family);
}
