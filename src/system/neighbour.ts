import { familyOf } from '../plan/address.js';
import { isGroupMac, parseMac } from '../plan/mac.js';
import type { Decoded } from '../wire/decoded.js';

/** One row of a system's neighbour table (ARP or IPv6 neighbour discovery), whatever the system calls it. */
export interface Neighbour {
  /** Canonical address, without zone. */
  readonly address: string;
  /** Lower case, colon separated; absent where nobody answered or the link has no Ethernet addresses. */
  readonly mac?: string | undefined;
  /** Name, or on Windows the interface index as decimal text where the output has no name. */
  readonly interface?: string | undefined;
  /** The laptop's own address on that interface, where the output tells that instead of a name (Windows `arp -a`). */
  readonly interfaceAddress?: string | undefined;
  readonly state: NeighbourState;
}

/**
 * present: answered lately, and the system says so.
 * held: the table has a MAC, and does not tell how old it is (`arp` of macOS and Windows, /proc/net/arp): it may be left from before.
 * stale: answered once, not asked or not answered since (RFC 4861 §7.3.2 STALE, DELAY, PROBE).
 * incomplete: asked, no answer yet. failed: asked in vain. own-static: set by hand or the laptop's own.
 */
export type NeighbourState = 'present' | 'held' | 'failed' | 'incomplete' | 'stale' | 'own-static';

const BY_NAME: Readonly<Record<string, NeighbourState>> = {
  reachable: 'present',
  stale: 'stale',
  delay: 'stale',
  probe: 'stale',
  failed: 'failed',
  unreachable: 'failed',
  incomplete: 'incomplete',
  none: 'incomplete',
  permanent: 'own-static',
  noarp: 'own-static',
};

/** State by the name that Linux and Windows give it (RFC 4861 §7.3.2 and the two systems' own). */
export function neighbourState(name: string): NeighbourState | undefined {
  return BY_NAME[name.toLowerCase()];
}

/** `fe80::1%en0` -> address text and zone. */
export function splitZone(text: string): { readonly address: string; readonly zone?: string | undefined } {
  const percent = text.indexOf('%');
  if (percent < 0) return { address: text };
  return { address: text.slice(0, percent), zone: text.slice(percent + 1) };
}

/** A MAC that a device can have: not a group, not all zeros (which Windows writes for "none yet"). */
export function stationMac(text: string): string | undefined {
  const mac = parseMac(text);
  return mac === undefined || isGroupMac(mac) || mac === '00:00:00:00:00:00' ? undefined : mac;
}

/** Multicast (RFC 5771 §3, RFC 4291 §2.7) and limited broadcast: rows that systems set up for themselves. */
export function isGroupAddress(address: string): boolean {
  if (familyOf(address) === 6) return address.startsWith('ff');
  const first = Number(address.split('.', 1)[0]);
  return (first >= 224 && first <= 239) || address === '255.255.255.255';
}

/** A decoded table as a reading of it. */
export function tableOf(
  decoded: Decoded<readonly Neighbour[]>,
  showsQuestions: boolean,
):
  | { readonly ok: true; readonly rows: readonly Neighbour[]; readonly showsQuestions: boolean }
  | { readonly ok: false; readonly reason: string } {
  return decoded.ok
    ? { ok: true, rows: decoded.value, showsQuestions }
    : { ok: false, reason: decoded.detail };
}
