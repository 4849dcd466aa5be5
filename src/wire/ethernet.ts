/** Link-layer headers -> who sent it, VLAN, EtherType, payload. */
import { macFromBytes } from '../plan/mac.js';
import { u16 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';
import { cookedHeader, LINKTYPE_SLL, LINKTYPE_SLL2 } from './linux-cooked.js';

const LINKTYPE_ETHERNET = 1;

export const ETHERTYPE = { arp: 0x0806, ipv6: 0x86dd, lldp: 0x88cc } as const;
/** IEEE 802.1Q C-tag, IEEE 802.1ad S-tag, and the older double-tag value still met on switches. */
const TAGS: readonly number[] = [0x8100, 0x88a8, 0x9100];
/** More tags than any bridge writes. */
const TAG_LIMIT = 4;
/** A type field below this is a length (IEEE 802.3 §3.2.6). */
const SMALLEST_ETHERTYPE = 0x0600;

export interface LinkFrame {
  /** Absent in cooked captures, which keep the source only. */
  readonly destination?: string | undefined;
  readonly source: string;
  /** VLAN ids, outermost first. Priority tags (VID 0) are no VLAN and left out. */
  readonly vlans: readonly number[];
  /** The innermost VLAN id: the one the sender is in. */
  readonly vlan?: number | undefined;
  /** Absent for an IEEE 802.3 length field. */
  readonly etherType?: number | undefined;
  readonly payload: Uint8Array;
}

export function decodeLinkFrame(bytes: Uint8Array, linkType: number = LINKTYPE_ETHERNET): Decoded<LinkFrame> {
  if (linkType === LINKTYPE_SLL || linkType === LINKTYPE_SLL2) {
    const header = cookedHeader(bytes, linkType);
    if (!header.ok) return header;
    return untagged(bytes, header.value.typeAt, header.value.payloadAt, { source: header.value.source });
  }
  if (linkType !== LINKTYPE_ETHERNET) return refuse('unsupported', 0, `link type ${linkType}`);
  if (bytes.length < 14) return refuse('truncated', bytes.length, 'Ethernet header');
  return untagged(bytes, 12, 14, {
    destination: macFromBytes(bytes.subarray(0, 6)),
    source: macFromBytes(bytes.subarray(6, 12)),
  });
}

/** Steps over VLAN tags: two octets of tag control (VID in the low 12 bits), then the next type (IEEE 802.1Q §9.6). */
function untagged(
  bytes: Uint8Array,
  typeAt: number,
  payloadAt: number,
  ends: Pick<LinkFrame, 'destination' | 'source'>,
): Decoded<LinkFrame> {
  const vlans: number[] = [];
  let type = u16(bytes, typeAt);
  let at = payloadAt;
  for (let tags = 0; TAGS.includes(type); tags += 1) {
    if (tags === TAG_LIMIT) return refuse('malformed', at, 'too many VLAN tags');
    if (bytes.length < at + 4) return refuse('truncated', bytes.length, 'VLAN tag');
    const vlan = u16(bytes, at) & 0x0fff;
    if (vlan !== 0) vlans.push(vlan);
    type = u16(bytes, at + 2);
    at += 4;
  }
  return decoded({
    ...ends,
    vlans,
    vlan: vlans.at(-1),
    etherType: type >= SMALLEST_ETHERTYPE ? type : undefined,
    payload: bytes.subarray(at),
  });
}
