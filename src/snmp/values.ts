/** SNMP values as the project uses them. What an agent sends is text to clean, never more. */
import { ObjectType, type Varbind } from 'net-snmp';
import { parseAddress } from '../plan/address.js';
import { macFromBytes } from '../plan/mac.js';
import { cleanText } from '../text/clean.js';

/** noSuchObject, noSuchInstance and endOfMibView are answers without a value (RFC 3416 §3). */
export function hasValue(varbind: Varbind | undefined): varbind is Varbind {
  if (varbind === undefined || varbind.value === undefined || varbind.value === null) return false;
  const { type } = varbind;
  return (
    type !== ObjectType.NoSuchObject && type !== ObjectType.NoSuchInstance && type !== ObjectType.EndOfMibView
  );
}

export function textValue(varbind: Varbind | undefined, limit?: number): string | undefined {
  if (!hasValue(varbind)) return undefined;
  const { value } = varbind;
  const raw = Buffer.isBuffer(value) ? trimNulls(value).toString('utf8') : String(value);
  const text = cleanText(raw, limit);
  return text === '' ? undefined : text;
}

/** Some agents pad a DisplayString with NULs (common practice, no source). */
function trimNulls(value: Buffer): Buffer {
  let end = value.length;
  while (end > 0 && value[end - 1] === 0) end -= 1;
  return value.subarray(0, end);
}

export function numberValue(varbind: Varbind | undefined): number | undefined {
  if (!hasValue(varbind)) return undefined;
  const { value } = varbind;
  if (typeof value === 'number' && Number.isFinite(value)) return value;
  return typeof value === 'bigint' ? Number(value) : undefined;
}

export function bytesValue(varbind: Varbind | undefined): Uint8Array | undefined {
  if (!hasValue(varbind)) return undefined;
  return Buffer.isBuffer(varbind.value) ? new Uint8Array(varbind.value) : undefined;
}

export function macValue(varbind: Varbind | undefined): string | undefined {
  const bytes = bytesValue(varbind);
  return bytes?.length === 6 ? macFromBytes(bytes) : undefined;
}

/** 4 or 16 octets, in network order (InetAddress, RFC 4001 §4.1). */
export function addressFromBytes(bytes: readonly number[] | Uint8Array): string | undefined {
  if (bytes.length === 4) return parseAddress([...bytes].join('.'));
  if (bytes.length !== 16) return undefined;
  const groups: string[] = [];
  for (let index = 0; index < 16; index += 2) {
    groups.push((((bytes[index] ?? 0) << 8) | (bytes[index + 1] ?? 0)).toString(16));
  }
  return parseAddress(groups.join(':'));
}
