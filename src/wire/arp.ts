/** ARP for IPv4 over Ethernet (RFC 826), with what RFC 5227 calls a message. */
import { macFromBytes } from '../plan/mac.js';
import { u8, u16 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';

/** RFC 826 "Packet format": octets of the fields with 6-octet hardware and 4-octet protocol addresses. */
const AT = { hrd: 0, pro: 2, hln: 4, pln: 5, op: 6, sha: 8, spa: 14, tha: 18, tpa: 24 } as const;
export const ARP_SIZE = 28;
/** ar$hrd 1 Ethernet (RFC 826); 6 IEEE 802 networks, treated alike (RFC 1122 §2.3.3, RFC 5494). */
const HARDWARE: readonly number[] = [1, 6];
const IPV4 = 0x0800;

export interface ArpMessage {
  /** ar$op: 1 request, 2 reply. */
  readonly op: number;
  /**
   * probe: a request with sender 0.0.0.0 (RFC 5227 §1.1), from a host that does not have the address yet.
   * announcement: sender and target are the same address, as request (RFC 5227 §1.1) or reply (§2.4 takes both).
   */
  readonly kind: 'request' | 'reply' | 'probe' | 'announcement' | 'other';
  readonly senderMac: string;
  readonly senderAddress: string;
  readonly targetMac: string;
  readonly targetAddress: string;
}

/** Octets after the 28 are padding (RFC 894) and not looked at. */
export function decodeArp(payload: Uint8Array): Decoded<ArpMessage> {
  if (payload.length < AT.sha) return refuse('truncated', payload.length, 'ARP header');
  if (!HARDWARE.includes(u16(payload, AT.hrd))) return refuse('unsupported', AT.hrd, 'ARP: not Ethernet');
  if (u16(payload, AT.pro) !== IPV4) return refuse('unsupported', AT.pro, 'ARP: not IPv4');
  if (u8(payload, AT.hln) !== 6) return refuse('malformed', AT.hln, 'ARP: hardware address not 6 octets');
  if (u8(payload, AT.pln) !== 4) return refuse('malformed', AT.pln, 'ARP: protocol address not 4 octets');
  if (payload.length < ARP_SIZE) return refuse('truncated', payload.length, 'ARP addresses');
  const op = u16(payload, AT.op);
  const senderAddress = dotted(payload, AT.spa);
  const targetAddress = dotted(payload, AT.tpa);
  return decoded({
    op,
    kind: kindOf(op, senderAddress, targetAddress),
    senderMac: macFromBytes(payload.subarray(AT.sha, AT.spa)),
    senderAddress,
    targetMac: macFromBytes(payload.subarray(AT.tha, AT.tpa)),
    targetAddress,
  });
}

function kindOf(op: number, sender: string, target: string): ArpMessage['kind'] {
  if (op !== 1 && op !== 2) return 'other';
  if (sender === '0.0.0.0') return op === 1 ? 'probe' : 'other';
  if (sender === target) return 'announcement';
  return op === 1 ? 'request' : 'reply';
}

function dotted(bytes: Uint8Array, at: number): string {
  return bytes.subarray(at, at + 4).join('.');
}
