/** A captured frame -> what it says of addresses. Facts alone: whether two claimants are a fault is for the judge. */

import { isGroupMac } from '../plan/mac.js';
import { decodeArp } from './arp.js';
import type { Decoded } from './decoded.js';
import { decodeLinkFrame, ETHERTYPE, type LinkFrame } from './ethernet.js';
import { decodeNeighbourDiscovery } from './neighbour-discovery.js';
import type { CaptureFrame } from './pcap-frame.js';

/** What one frame says about one address. */
export interface AddressStatement {
  /** claims: the sender says the address is its own. wants: it is testing whether it may have it. asks: it looks for it. */
  readonly kind: 'claims' | 'wants' | 'asks';
  readonly address: string;
  readonly mac: string;
  readonly frameSource: string;
  readonly vlan?: number | undefined;
  readonly timeUs?: number | undefined;
}

const NO_MAC = '00:00:00:00:00:00';

/**
 * Statements of one frame; empty for every frame that is neither ARP nor neighbour discovery, or is not well formed. `link`: its header,
 * where it is decoded already.
 */
export function statementsOf(
  frame: CaptureFrame,
  link: Decoded<LinkFrame> = decodeLinkFrame(frame.bytes, frame.linkType),
): readonly AddressStatement[] {
  if (!link.ok) return [];
  const about = { frameSource: link.value.source, vlan: link.value.vlan, timeUs: frame.timeUs };
  return rawStatements(link.value)
    .filter(({ mac }) => mac !== NO_MAC && !isGroupMac(mac))
    .map((statement) => ({ ...statement, ...about }));
}

type Raw = Pick<AddressStatement, 'kind' | 'address' | 'mac'>;

function rawStatements(link: LinkFrame): readonly Raw[] {
  if (link.etherType === ETHERTYPE.arp) return arpStatements(link.payload);
  return link.etherType === ETHERTYPE.ipv6 ? discoveryStatements(link) : [];
}

/** RFC 5227 §2.1.1: any ARP, request or reply, claims its sender address; 0.0.0.0 there is no host but a probe. */
function arpStatements(payload: Uint8Array): readonly Raw[] {
  const arp = decodeArp(payload);
  if (!arp.ok || arp.value.kind === 'other') return [];
  const { kind, senderMac: mac, senderAddress, targetAddress } = arp.value;
  if (kind === 'probe') return [{ kind: 'wants', address: targetAddress, mac }];
  const claim: Raw = { kind: 'claims', address: senderAddress, mac };
  return kind === 'request' ? [claim, { kind: 'asks', address: targetAddress, mac }] : [claim];
}

/** RFC 4861 §7.2.3 and §7.2.5; a solicitation from `::` is duplicate address detection (RFC 4862 §5.4.2). */
function discoveryStatements(link: LinkFrame): readonly Raw[] {
  const message = decodeNeighbourDiscovery(link.payload);
  if (!message.ok) return [];
  const { kind, source, target, linkLayer } = message.value;
  const mac = linkLayer ?? link.source;
  if (kind === 'advertisement') return [{ kind: 'claims', address: target, mac }];
  if (source === '::') return [{ kind: 'wants', address: target, mac }];
  return [
    { kind: 'claims', address: source, mac },
    { kind: 'asks', address: target, mac },
  ];
}
