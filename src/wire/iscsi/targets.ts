/** The answer to SendTargets (RFC 7143 appendix C) -> targets with their portals. Names are cleaned. */
import { familyOf, parseAddress } from '../../plan/address.js';
import type { IscsiPortal, IscsiTarget } from '../../sighting/types.js';
import { cleanText } from '../../text/clean.js';
import { type Decoded, decoded, refuse } from '../decoded.js';
import type { KeyValue } from './keys.js';

/** RFC 7143 §15. */
export const ISCSI_PORT = 3260;
/** RFC 7143 §4.2.7.1, in octets. */
const NAME_LIMIT = 223;
/**
 * What is kept of one answer: different portals, entries of all targets together (each target lists the portals again), targets, and
 * values that are no address. No array has so many ports; a hostile list is cut, and it is said how many portals are not in what is kept.
 */
const PORTAL_LIMIT = 256;
const ENTRY_LIMIT = 1024;
const TARGET_LIMIT = 256;
const UNREADABLE_LIMIT = 32;

export interface TargetList {
  readonly targets: readonly IscsiTarget[];
  /** TargetAddress values that are no address, cleaned. */
  readonly unreadable: readonly string[];
  /** Addresses that stand nowhere in `targets`, since the list is longer than what is kept. */
  readonly cut: number;
}

/** A target with no address is at the address of the connection itself (appendix C). A repeated target is one target. */
export function targetsFrom(
  pairs: readonly KeyValue[],
  connection: { readonly address: string; readonly port: number },
): Decoded<TargetList> {
  const byName = new Map<string, Map<string, IscsiPortal>>();
  const unreadable: string[] = [];
  const places = new Set<string>();
  let cut = 0;
  let entries = 0;
  let kept = false;
  let current: Map<string, IscsiPortal> | undefined;
  for (const [key, value] of pairs) {
    if (key === 'TargetName') {
      const name = cleanText(value, NAME_LIMIT);
      current = byName.get(name) ?? new Map();
      if (byName.size < TARGET_LIMIT) byName.set(name, current);
      kept = byName.has(name);
    } else if (key === 'TargetAddress') {
      if (current === undefined) return refuse('malformed', 0, 'iSCSI: an address before any target');
      const portal = parseTargetAddress(value);
      if (portal === undefined) {
        if (unreadable.length < UNREADABLE_LIMIT) unreadable.push(cleanText(value));
        else cut += 1;
        continue;
      }
      const place = `${portal.address} ${portal.port} ${portal.tag ?? ''}`;
      if (current.has(place)) continue;
      const known = places.has(place);
      if (!kept || entries >= ENTRY_LIMIT || (!known && places.size >= PORTAL_LIMIT)) {
        if (!known) cut += 1;
      } else {
        entries += 1;
        places.add(place);
        current.set(place, portal);
      }
    }
  }
  const own: IscsiPortal = { address: connection.address, port: connection.port };
  const targets = [...byName].map(([name, portals]) => ({
    name,
    portals: portals.size > 0 ? [...portals.values()] : [own],
  }));
  return decoded({ targets, unreadable, cut });
}

const BRACKETED = /^\[([^\]]*)\](?::(\d{1,5}))?(?:,(\d{1,5}))?$/;
const PLAIN = /^([^\s:,[\]]+)(?::(\d{1,5}))?(?:,(\d{1,5}))?$/;
/** Labels of a host name (RFC 1123 §2.1); underscores are met in practice. */
const HOST_NAME = /^(?!\d+(\.\d+)*$)[a-z0-9_-]{1,63}(\.[a-z0-9_-]{1,63})*\.?$/i;

/** `domainname[:port][,tag]`; a name, dotted IPv4 or bracketed IPv6 (RFC 7143 §13.8). A tag of 0 is legal (§13.9). */
export function parseTargetAddress(text: string): IscsiPortal | undefined {
  const bracketed = BRACKETED.exec(text);
  const [, host = '', portText, tagText] = bracketed ?? PLAIN.exec(text) ?? [];
  const port = portText === undefined ? ISCSI_PORT : Number(portText);
  const tag = tagText === undefined ? undefined : Number(tagText);
  const address = parseAddress(host);
  const right = bracketed
    ? address !== undefined && familyOf(address) === 6
    : address !== undefined || isName(host);
  if (!right || port < 1 || port > 65_535 || (tag !== undefined && tag > 65_535)) return undefined;
  const portal = { address: address ?? host, port };
  return tag === undefined ? portal : { ...portal, tag };
}

function isName(host: string): boolean {
  return host.length <= 253 && HOST_NAME.test(host);
}
