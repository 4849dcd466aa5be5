/** Names and addresses of Fibre Channel as agents send them. */
import type { Varbind } from 'net-snmp';
import { macFromBytes } from '../plan/mac.js';
import { bytesValue } from './values.js';

/** FcNameId (RFC 2837), FcNameIdOrZero (RFC 4044): 8 octets, lower-case hex. A name of all zeros, or of none, is no name. */
export function fcName(varbind: Varbind): string | undefined {
  const bytes = bytesValue(varbind);
  return bytes?.length === 8 && bytes.some((octet) => octet !== 0) ? macFromBytes(bytes) : undefined;
}

/** FcAddressId: 3 octets as 6 hex digits. Some agents put a zero before them (common practice, no source). Zero is no address. */
export function fcAddress(varbind: Varbind): string | undefined {
  const bytes = bytesValue(varbind);
  const octets = bytes?.length === 4 && bytes[0] === 0 ? bytes.subarray(1) : bytes;
  return octets?.length === 3 && octets.some((octet) => octet !== 0)
    ? Buffer.from(octets).toString('hex')
    : undefined;
}
