/** Captured frames -> who claims which address. Facts alone: whether two claimants are a fault is for the judge. */

import { isGroupMac } from '../plan/mac.js';
import type { Claim } from '../sighting/types.js';
import { decodeArp } from './arp.js';
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

/** Statements of one frame; empty for every frame that is neither ARP nor neighbour discovery, or is not well formed. */
export function statementsOf(frame: CaptureFrame): readonly AddressStatement[] {
  const link = decodeLinkFrame(frame.bytes, frame.linkType);
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

export interface Questions {
  /** The laptop's own MACs: what they say is no evidence, what they ask starts the clock. */
  readonly ownMacs: Iterable<string>;
  /** When each address was asked, in microseconds since 1970, where the questions themselves were not captured. */
  readonly askedAtUs?: ReadonlyMap<string, number> | undefined;
}

export interface ArpClaims {
  readonly claims: ReadonlyMap<string, readonly Claim[]>;
  /** Address -> MACs that were testing whether they may take it. */
  readonly wanted: ReadonlyMap<string, readonly string[]>;
}

export interface ClaimCollector {
  add(frame: CaptureFrame): void;
  claims(): ArpClaims;
}

/** Distinct claims remembered for one run: a flood of invented senders must not fill the memory. */
const CLAIM_LIMIT = 65_536;
/** And for one address: beyond two claimants it is a fault however many there are, and one flooded address must not use up the rest. */
const ADDRESS_LIMIT = 64;

/** The same for a capture that is still running. */
export function createClaimCollector({ ownMacs, askedAtUs }: Questions): ClaimCollector {
  const own = new Set(ownMacs);
  const asked = new Map(askedAtUs ?? []);
  const claims = new Map<string, Map<string, Claim>>();
  const wanted = new Map<string, Set<string>>();
  let kept = 0;

  function add(statement: AddressStatement): void {
    if (own.has(statement.mac) || own.has(statement.frameSource)) {
      if (statement.kind !== 'claims' && statement.timeUs !== undefined) {
        asked.set(statement.address, statement.timeUs);
      }
    } else if (statement.kind !== 'asks' && kept < CLAIM_LIMIT) {
      kept += statement.kind === 'wants' ? note(wanted, statement) : count(claims, asked, statement);
    }
  }

  return {
    add: (frame) => {
      for (const statement of statementsOf(frame)) add(statement);
    },
    claims: () => ({
      claims: new Map([...claims].map(([address, byKey]) => [address, [...byKey.values()]])),
      wanted: new Map([...wanted].map(([address, macs]) => [address, [...macs]])),
    }),
  };
}

/** Both return how many new things are remembered: 0 or 1. */
function note(wanted: Map<string, Set<string>>, { address, mac }: AddressStatement): number {
  const macs = wanted.get(address) ?? new Set();
  const before = macs.size;
  if (before >= ADDRESS_LIMIT) return 0;
  wanted.set(address, macs.add(mac));
  return macs.size - before;
}

function count(
  claims: Map<string, Map<string, Claim>>,
  asked: ReadonlyMap<string, number>,
  { address, mac, frameSource, vlan, timeUs }: AddressStatement,
): number {
  const byKey = claims.get(address) ?? new Map<string, Claim>();
  const key = `${mac} ${frameSource} ${vlan ?? ''}`;
  const known = byKey.get(key);
  if (known === undefined && byKey.size >= ADDRESS_LIMIT) return 0;
  const askedAt = asked.get(address);
  const afterMs =
    askedAt === undefined || timeUs === undefined || timeUs < askedAt ? undefined : (timeUs - askedAt) / 1000;
  byKey.set(key, {
    mac,
    method: 'capture',
    frameSource: frameSource === mac ? undefined : frameSource,
    vlan,
    afterMs: known?.afterMs ?? afterMs,
    count: (known?.count ?? 0) + 1,
  });
  claims.set(address, byKey);
  return known === undefined ? 1 : 0;
}
