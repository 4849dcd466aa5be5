/** Headers that Linux puts in place of Ethernet's when it captures on "any" (tcpdump.org link-layer pages LINUX_SLL and LINUX_SLL2). */
import { macFromBytes } from '../plan/mac.js';
import { u8, u16 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';

export const LINKTYPE_SLL = 113;
export const LINKTYPE_SLL2 = 276;

/** Sizes and offsets, in octets. SLL: packet type 2, ARPHRD 2, length 2, address 8, protocol 2. */
const SLL = { size: 16, lengthAt: 5, addressAt: 6, typeAt: 14 } as const;
/** SLL2: protocol 2, reserved 2, interface index 4, ARPHRD 2, packet type 1, length 1, address 8. */
const SLL2 = { size: 20, lengthAt: 11, addressAt: 12, typeAt: 0 } as const;

export interface CookedHeader {
  readonly source: string;
  readonly typeAt: number;
  readonly payloadAt: number;
}

export function cookedHeader(
  bytes: Uint8Array,
  linkType: typeof LINKTYPE_SLL | typeof LINKTYPE_SLL2,
): Decoded<CookedHeader> {
  const layout = linkType === LINKTYPE_SLL ? SLL : SLL2;
  if (bytes.length < layout.size) return refuse('truncated', bytes.length, 'cooked header');
  if (linkType === LINKTYPE_SLL && u16(bytes, 4) > 8) return refuse('malformed', 4, 'address over 8 octets');
  if (u8(bytes, layout.lengthAt) !== 6) {
    return refuse('unsupported', layout.lengthAt, 'sender has no Ethernet address');
  }
  return decoded({
    source: macFromBytes(bytes.subarray(layout.addressAt, layout.addressAt + 6)),
    typeAt: layout.typeAt,
    payloadAt: layout.size,
  });
}
