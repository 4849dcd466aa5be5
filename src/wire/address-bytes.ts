import { fromNumber } from '../plan/address.js';
import { u8 } from './bytes.js';

/** Canonical text of 4 or 16 octets; undefined for any other count. */
export function addressFromBytes(bytes: Uint8Array): string | undefined {
  if (bytes.length === 4) return [...bytes].join('.');
  if (bytes.length !== 16) return undefined;
  let value = 0n;
  for (let at = 0; at < 16; at += 1) value = (value << 8n) | BigInt(u8(bytes, at));
  return fromNumber(value, 6);
}
