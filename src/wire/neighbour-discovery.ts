/** IPv6 neighbour solicitation and advertisement (RFC 4861 §4.3, §4.4), as far as presence and duplicates need them. */
import { macFromBytes } from '../plan/mac.js';
import { addressFromBytes } from './address-bytes.js';
import { u8, u16 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';

/** RFC 8200 §3. */
const IPV6_HEADER = 40;
const ICMPV6 = 58;
/** RFC 4861 §4.3, §4.4: type, code, checksum, flags or reserved, target. */
const MESSAGE = 24;
const SOLICITATION = 135;
const ADVERTISEMENT = 136;
/** Link-layer address options, RFC 4861 §4.6.1. */
const OPTION_SOURCE = 1;
const OPTION_TARGET = 2;

export interface NeighbourDiscovery {
  readonly kind: 'solicitation' | 'advertisement';
  /** IPv6 source; `::` in a solicitation is duplicate address detection (RFC 4862 §5.4.2): no host yet. */
  readonly source: string;
  readonly destination: string;
  readonly target: string;
  /** Source link-layer option of a solicitation, target link-layer option of an advertisement. */
  readonly linkLayer?: string | undefined;
  readonly router: boolean;
  readonly solicited: boolean;
  readonly override: boolean;
}

/** Payload of EtherType 86dd. The checksum is left to the kernel: captures of own frames may hold none yet. */
export function decodeNeighbourDiscovery(payload: Uint8Array): Decoded<NeighbourDiscovery> {
  if (payload.length < IPV6_HEADER) return refuse('truncated', payload.length, 'IPv6 header');
  if (u8(payload, 0) >> 4 !== 6) return refuse('malformed', 0, 'not IPv6');
  if (u8(payload, 6) !== ICMPV6) return refuse('unsupported', 6, 'not ICMPv6');
  const type = u8(payload, IPV6_HEADER);
  if (payload.length > IPV6_HEADER && type !== SOLICITATION && type !== ADVERTISEMENT) {
    return refuse('unsupported', IPV6_HEADER, 'no neighbour discovery');
  }
  // RFC 4861 §7.1: a hop limit below 255 came through a router and is not to be believed.
  if (u8(payload, 7) !== 255) return refuse('malformed', 7, 'neighbour discovery from off the link');
  const end = IPV6_HEADER + u16(payload, 4);
  if (end < IPV6_HEADER + MESSAGE) return refuse('malformed', 4, 'message of too few octets');
  if (payload.length < end) return refuse('truncated', payload.length, 'neighbour discovery');
  if (u8(payload, IPV6_HEADER + 1) !== 0) return refuse('malformed', IPV6_HEADER + 1, 'code is not 0');
  const solicitation = type === SOLICITATION;
  const options = linkLayerOption(payload, end, solicitation ? OPTION_SOURCE : OPTION_TARGET);
  if (!options.ok) return options;
  const flags = solicitation ? 0 : u8(payload, IPV6_HEADER + 4);
  return decoded({
    kind: solicitation ? 'solicitation' : 'advertisement',
    source: address(payload, 8),
    destination: address(payload, 24),
    target: address(payload, IPV6_HEADER + 8),
    linkLayer: options.value,
    router: (flags & 0x80) !== 0,
    solicited: (flags & 0x40) !== 0,
    override: (flags & 0x20) !== 0,
  });
}

/** Options: type, length in units of 8 octets; a length of zero condemns the packet (RFC 4861 §4.6). */
function linkLayerOption(payload: Uint8Array, end: number, wanted: number): Decoded<string | undefined> {
  let at = IPV6_HEADER + MESSAGE;
  let found: string | undefined;
  while (at < end) {
    const size = u8(payload, at + 1) * 8;
    if (size === 0) return refuse('malformed', at, 'option of no length');
    if (at + size > end) return refuse('malformed', at + 1, 'option past the end');
    if (u8(payload, at) === wanted && size === 8) found = macFromBytes(payload.subarray(at + 2, at + 8));
    at += size;
  }
  return decoded(found);
}

function address(payload: Uint8Array, at: number): string {
  return addressFromBytes(payload.subarray(at, at + 16)) ?? '::';
}
