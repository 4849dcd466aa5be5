/**
 * One device that answers at two endpoints which are planned for two: the partner took the address over, or the other is down and its
 * address was never moved (DESIGN 6). Told by one MAC on the link; behind a router by one certificate, Redfish UUID or SNMP engine.
 */

import { claimsIn } from '../evidence/claim-index.js';
import { anyAnswer } from '../evidence/responses.js';
import type { Seen, View } from '../evidence/view.js';
import type { Endpoint } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { IdentitySighting } from '../sighting/types.js';
import { fitOf, fitOfCandidate } from './fit.js';
import { identityOf } from './seen-identity.js';

export type SameBy = 'MAC' | 'certificate' | 'Redfish UUID' | 'SNMP engine';

export interface SameDevice {
  /** The endpoint that the device answers at as well, and belongs to as far as can be told. */
  readonly sameAs: string;
  readonly by: SameBy;
  readonly value: string;
  /** Something planned shows that it belongs to `sameAs`. */
  readonly sure: boolean;
}

interface Answering {
  readonly endpoint: Endpoint;
  readonly looks: readonly Seen[];
  readonly best: Seen;
  /** The one MAC at its address. */
  readonly mac?: string | undefined;
  readonly identity: IdentitySighting;
}

/** By id of the endpoint that is answered by another's device. */
export function sameDevices(view: View): Map<string, SameDevice> {
  const answering = view.plan.endpoints.flatMap((endpoint): Answering[] => {
    if (endpoint.address === undefined || endpoint.virtual) return [];
    const looks = view.seen(endpoint.address);
    const best = looks[0];
    if (best === undefined) return [];
    const { claimants } = claimsIn(view).best(endpoint.address);
    const mac = claimants.length === 1 ? claimants[0]?.mac : undefined;
    if (mac === undefined && !anyAnswer(best.responses)) return [];
    return [{ endpoint, looks, best, mac, identity: identityOf(looks) ?? {} }];
  });
  const found = new Map<string, SameDevice>();
  for (const [by, key] of KEYS) {
    const groups = new Map<string, Answering[]>();
    for (const one of answering) {
      const value = key(one);
      if (value === undefined) continue;
      groups.set(value, [...(groups.get(value) ?? []), one]);
    }
    for (const [value, group] of groups) note(view, found, by, value, group);
  }
  return found;
}

/** Without a MAC on either side only what the device says of itself can tell; with two MACs they are two devices. */
const KEYS: readonly (readonly [SameBy, (one: Answering) => string | undefined])[] = [
  ['MAC', ({ mac }) => mac],
  ['SNMP engine', ({ mac, identity }) => (mac === undefined ? identity.snmp?.engineId : undefined)],
  ['Redfish UUID', ({ mac, identity }) => (mac === undefined ? identity.redfish?.uuid : undefined)],
  [
    'certificate',
    ({ mac, identity }) => (mac === undefined ? identity.certificate?.fingerprint256 : undefined),
  ],
];

function note(
  view: View,
  found: Map<string, SameDevice>,
  by: SameBy,
  value: string,
  group: readonly Answering[],
): void {
  if (group.length < 2) return;
  const owner = ownerOf(view, by, value, group);
  const first = owner ?? group[0];
  if (first === undefined) return;
  for (const one of group) {
    if (one === first || found.has(one.endpoint.id) || !plannedApart(first, one, by)) continue;
    if (by !== 'MAC' && toldApart(view, first, one)) continue;
    found.set(one.endpoint.id, { sameAs: first.endpoint.id, by, value, sure: owner !== undefined });
  }
}

/** Whose the device is: by the planned MAC, else by what it says of itself where that fits one of them alone. */
function ownerOf(view: View, by: SameBy, value: string, group: readonly Answering[]): Answering | undefined {
  const planned = by === 'MAC' ? group.find(({ endpoint }) => endpoint.mac === value) : undefined;
  if (planned !== undefined) return planned;
  const fitting = group.filter(({ endpoint, identity }) => {
    const device = indexOf(view.plan).device(endpoint.device);
    const { fits, mismatches } = fitOfCandidate(device, endpoint.controller, identity);
    return fits.length > 0 && mismatches.length === 0;
  });
  return fitting.length === 1 ? fitting[0] : undefined;
}

/** Two controllers, or two devices, or two ports that the plan keeps apart. What only a card has is not asked of two ports of one controller. */
function plannedApart(a: Answering, b: Answering, by: SameBy): boolean {
  const [one, other] = [a.endpoint, b.endpoint];
  if (one.address === other.address) return false;
  if (one.device !== other.device) return by === 'MAC';
  if (one.controller !== other.controller) return true;
  if (by !== 'MAC') return false;
  const macsApart = one.mac !== undefined && other.mac !== undefined && one.mac !== other.mac;
  const portsApart =
    one.switch !== undefined &&
    other.switch !== undefined &&
    (one.switch !== other.switch ||
      (one.switchPort !== undefined &&
        other.switchPort !== undefined &&
        one.switchPort !== other.switchPort));
  if (!macsApart && !portsApart) return false;
  // In one network a device may answer ARP for either port on either: only where every answer was heard is one MAC one port.
  return one.network !== other.network || (heardAll(a) && heardAll(b));
}

function heardAll({ best: { sighting } }: Answering): boolean {
  return sighting.presence.outcome === 'claimed' && sighting.presence.duplicateCheck === 'proven';
}

/** Something that a device has for itself is not the same: two devices that share a certificate, or were cloned. */
function toldApart(view: View, a: Answering, b: Answering): boolean {
  const pairs = [
    [a.identity.snmp?.engineId, b.identity.snmp?.engineId],
    [a.identity.redfish?.uuid, b.identity.redfish?.uuid],
    [a.identity.certificate?.fingerprint256, b.identity.certificate?.fingerprint256],
    [a.identity.snmp?.sysName, b.identity.snmp?.sysName],
    [a.identity.ssh?.line, b.identity.ssh?.line],
    [a.identity.https?.title, b.identity.https?.title],
  ] as const;
  if (pairs.some(([one, other]) => one !== undefined && other !== undefined && one !== other)) return true;
  return [a, b].every(({ endpoint, identity }) => {
    const device = indexOf(view.plan).device(endpoint.device);
    const stated = endpoint.controller === undefined ? undefined : device?.controllers[endpoint.controller];
    return stated !== undefined && fitOf(identity, stated).fits.length > 0;
  });
}
