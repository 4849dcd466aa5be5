/** Written numbers: speeds, MTUs, VLANs, ports, rack units, counts. */
import { readSpeed } from '../../plan/speed.js';
import { bad, type Reading, read, twoMeanings } from '../reading.js';

/** Smallest IPv4 MTU (RFC 791 §3.2) and the largest an IPv4 packet can need (its 16-bit total length). */
const MTU_RANGE = { lowest: 68, highest: 65_535 } as const;
/** VLAN identifiers 0 and 4095 are reserved (IEEE 802.1Q-2018 table 9-2, from memory). */
const VLAN_RANGE = { lowest: 1, highest: 4094 } as const;
/** No rack is taller than this, in units. Common practice, no source. */
const TALLEST_RACK = 60;

/** A whole number of the range. Excel writes `9000` and `9000.0` for the same cell. */
export function wholeNumber(lowest: number, highest: number, what = 'a whole number') {
  return (text: string): Reading<number> => {
    const match = /^(\d{1,9})(?:\.0+)?$/.exec(text);
    const number = Number(match?.[1]);
    return match !== null && number >= lowest && number <= highest
      ? read(number)
      : bad(`${what} from ${lowest} to ${highest}`);
  };
}

export function readMbps(text: string): Reading<number> {
  const reading = readSpeed(text);
  if (reading.kind === 'speed') return read(reading.mbps);
  if (reading.kind === 'two-meanings') return twoMeanings(`${reading.meanings[0]} or ${reading.meanings[1]}`);
  return bad('a link speed as 10G, 2.5G or 1000M');
}

export function readMtu(text: string): Reading<number> {
  if (/^(9|9\.0)\s*k$/i.test(text) || /^jumbo( frames?)?$/i.test(text)) return twoMeanings('9000 or 9216');
  const number = text.replace(/\s*(b|bytes?|octets?)$/i, '').replace(/^(\d{1,2})[., '](\d{3})$/, '$1$2');
  return wholeNumber(MTU_RANGE.lowest, MTU_RANGE.highest, 'an MTU in bytes,')(number);
}

export const readVlan = wholeNumber(VLAN_RANGE.lowest, VLAN_RANGE.highest, 'a VLAN identifier');
export const readPort = wholeNumber(1, 65_535, 'a port');

/** `11`, `11-13`, `U11-U13`, counted from 1 at the bottom. */
export function readUnits(text: string): Reading<{ from: number; to: number }> {
  const match = /^u?(\d{1,3})(?:\s*[-\u2013]\s*u?(\d{1,3}))?$/iu.exec(text);
  const first = Number(match?.[1]);
  const second = Number(match?.[2] ?? match?.[1]);
  const fits = (unit: number) => unit >= 1 && unit <= TALLEST_RACK;
  if (match === null || !fits(first) || !fits(second))
    return bad(`rack units as 11 or 11-13, 1 to ${TALLEST_RACK}`);
  // 13-11 says the same as 11-13: people read a rack from either end.
  return read({ from: Math.min(first, second), to: Math.max(first, second) });
}

/** A share of time: `0.9995` or `99.95%`; above 0, at most 1. */
export function readAvailability(text: string): Reading<number> {
  const match = /^(\d{1,3}(?:\.\d+)?)\s*(%?)$/.exec(text);
  const value = match === null ? Number.NaN : Number(match[1]) / (match[2] === '%' ? 100 : 1);
  return value > 0 && value <= 1 ? read(value) : bad('a share above 0 and at most 1, as 0.9995 or 99.95%');
}

/** Hours, above 0 where `lowest` says so. */
export function readHours(text: string): Reading<number> {
  const number = /^\d{1,12}(\.\d+)?$/.test(text) ? Number(text) : Number.NaN;
  return number > 0 ? read(number) : bad('a number of hours above 0');
}
