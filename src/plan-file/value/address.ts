/** Written addresses: `192.0.2.7`, `192.0.2.7/24`, `192.0.2.7 255.255.255.0`, `2001:db8::7/64`, leading zeros where they do no harm. */
import {
  addressBits,
  compareAddresses,
  familyOf,
  parseAddress,
  parseCidr,
  prefixOfMask,
} from '../../plan/address.js';
import type { AddressRange } from '../../plan/model.js';
import { bad, type Reading, read, twoMeanings } from '../reading.js';

export interface WrittenAddress {
  readonly address: string;
  readonly prefixBits?: number | undefined;
}

const EXPECTED = 'an IPv4 or IPv6 address';

/** One address, with or without a prefix length or mask. */
export function readAddress(text: string): Reading<WrittenAddress> {
  const [host = '', size, ...rest] = splitSize(text);
  if (rest.length > 0) return bad('one address', suggestion(text));
  const octets = readOctets(host);
  if (octets?.ok === false) return octets;
  const address = parseAddress(octets?.value ?? host.replace(/^\[(.*)\]$/, '$1'));
  if (address === undefined) return bad(EXPECTED, suggestion(text));
  if (size === undefined) return read({ address });
  const prefixBits = readSize(size, address);
  if (prefixBits === undefined) {
    const highest = addressBits(familyOf(address));
    return bad(`${EXPECTED} whose prefix length is 0 to ${highest} or whose mask is contiguous`);
  }
  return read({ address, prefixBits });
}

export function readPlainAddress(text: string): Reading<string> {
  const reading = readAddress(text);
  if (!reading.ok) return reading;
  return reading.value.prefixBits === undefined
    ? read(reading.value.address)
    : bad('an address without a prefix');
}

/** `address/prefix` as written, host bits kept: the caller decides what they mean. */
export function readCidr(text: string): Reading<string> {
  const reading = readAddress(text);
  if (!reading.ok)
    return reading.code === 'two-meanings' ? reading : bad('a network as 192.0.2.0/24', reading.nearest);
  const { address, prefixBits } = reading.value;
  return prefixBits === undefined ? bad('a network as 192.0.2.0/24') : read(`${address}/${prefixBits}`);
}

/** One address, `first-last`, or a block as `192.0.2.0/29`. */
export function readRange(text: string): Reading<AddressRange | string> {
  const ends = text.split(/\s*(?:-|\u2013|\.\.\.?)\s*/u);
  if (ends.length === 1) {
    const reading = readAddress(text);
    if (!reading.ok) return reading;
    const { address, prefixBits } = reading.value;
    return read(prefixBits === undefined ? { first: address, last: address } : `${address}/${prefixBits}`);
  }
  const expected = 'an address, a range as 192.0.2.1-192.0.2.9 or a block as 192.0.2.0/29';
  const [first, last] = ends.map(readPlainAddress);
  if (ends.length !== 2 || first === undefined || last === undefined) return bad(expected);
  if (!first.ok) return first.code === 'two-meanings' ? first : bad(expected);
  if (!last.ok) return last.code === 'two-meanings' ? last : bad(expected);
  if (familyOf(first.value) !== familyOf(last.value)) return bad('a range of one address family');
  if (compareAddresses(first.value, last.value) > 0)
    return bad('a range from the lower to the higher address', `${last.value}-${first.value}`);
  return read({ first: first.value, last: last.value });
}

/** `192.0.2.7/24`, `192.0.2.7 / 24`, `192.0.2.7 255.255.255.0`. */
function splitSize(text: string): string[] {
  return text.split(/\s*\/\s*|\s+/);
}

/**
 * Leading zeros: some programs read such an octet as octal (inet_aton does, RFC 6943 §3.1.1), people mean decimal. Where both give the
 * same number (007), or where octal is impossible (08), there is one meaning; else there are two.
 */
function readOctets(host: string): Reading<string> | undefined {
  const parts = host.split('.');
  if (parts.length !== 4 || !parts.every((part) => /^\d{1,3}$/.test(part))) return undefined;
  const decimal = parts.map((part) => String(Number(part))).join('.');
  const octal = parts.map((part) => String(/^0[0-7]+$/.test(part) ? Number.parseInt(part, 8) : Number(part)));
  if (octal.join('.') === decimal) return read(decimal);
  return twoMeanings(`${decimal} (decimal) or ${octal.join('.')} (octal), written without leading zeros`);
}

function readSize(size: string, address: string): number | undefined {
  if (/^\d{1,3}$/.test(size)) return parseCidr(`${address}/${Number(size)}`)?.prefixBits;
  return familyOf(address) === 4 ? prefixOfMask(size) : undefined;
}

/** Slips of the hand that leave one likely address. Offered, never taken. */
function suggestion(text: string): string | undefined {
  const mended = text
    .replace(/^https?:\/\//i, '')
    .replace(/[oO]/g, '0')
    .replace(/[lI|]/g, '1')
    .replace(/[,\s]+/g, '.')
    .replace(/\.{2,}/g, '.')
    .replace(/^\.|[./]$/g, '');
  return mended !== text && (parseAddress(mended) !== undefined || parseCidr(mended) !== undefined)
    ? mended
    : undefined;
}
