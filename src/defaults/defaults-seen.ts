/** Every factory-default address of the plan, and what was seen there. */

import { claimsIn } from '../evidence/claim-index.js';
import type { Claimed } from '../evidence/claims.js';
import { type Duplicate, duplicateOf } from '../evidence/duplicate.js';
import { isOwn, mendOf } from '../evidence/own.js';
import { anyAsked, letNothingOut } from '../evidence/responses.js';
import { somebodyThere } from '../evidence/there.js';
import type { Seen, View } from '../evidence/view.js';
import type { DefaultResult } from '../matrix/matrix.js';
import type { Survey } from '../matrix/survey.js';
import { compareAddresses } from '../plan/address.js';
import type { Endpoint, Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import { timeWords } from '../text/time.js';

export interface DefaultSeen {
  readonly address: string;
  /** Devices that come up on it, and the endpoints that do. */
  readonly devices: readonly string[];
  readonly endpoints: readonly Endpoint[];
  readonly looks: readonly Seen[];
  readonly claimed: Claimed;
  readonly duplicate?: Duplicate | undefined;
  readonly outcome: DefaultResult['outcome'];
  /** Why an answer there may come from another than a device of the plan: nobody is accused on it (DESIGN 6). */
  readonly doubt?: DefaultDoubt | undefined;
  readonly reasons: readonly string[];
}

export type DefaultDoubt =
  /** The address is that of a gateway of the plan. */
  | { readonly kind: 'gateway'; readonly network: string }
  /** The same MAC held it in the survey, before anything was powered on. */
  | { readonly kind: 'held-before'; readonly mac: string; readonly takenAt: string }
  /** Only seen through a router, which may lead to another network of the same numbers. */
  | { readonly kind: 'through-router' };

export function sayDoubt({ doubt }: DefaultSeen): string {
  switch (doubt?.kind) {
    case 'gateway':
      return `it is the address of the gateway of ${doubt.network}, which answers there`;
    case 'held-before':
      return `${doubt.mac} held it already in the survey of ${timeWords(doubt.takenAt)}`;
    case 'through-router':
      return 'it answers, but only through a router: which device that is cannot be told from here';
    case undefined:
      return '';
  }
}

export interface DefaultIndex {
  /** Defaults that an endpoint comes up on. */
  of(endpoint: string): readonly DefaultSeen[];
  /** The device has a default at all, on whichever port. */
  has(device: string): boolean;
}

export function indexDefaults(defaults: readonly DefaultSeen[]): DefaultIndex {
  const byEndpoint = new Map<string, DefaultSeen[]>();
  for (const seen of defaults)
    for (const { id } of seen.endpoints) byEndpoint.set(id, [...(byEndpoint.get(id) ?? []), seen]);
  const devices = new Set(defaults.flatMap((seen) => seen.devices));
  return { of: (endpoint) => byEndpoint.get(endpoint) ?? [], has: (device) => devices.has(device) };
}

export function defaultsSeen(view: View, survey?: Survey): DefaultSeen[] {
  const addresses = new Map<string, Endpoint[]>();
  const devices = new Map<string, Set<string>>();
  const note = (address: string, device: string, endpoints: readonly Endpoint[]): void => {
    addresses.set(address, [...(addresses.get(address) ?? []), ...endpoints]);
    devices.set(address, (devices.get(address) ?? new Set()).add(device));
  };
  for (const { address, device, endpoint } of indexOf(view.plan).defaults)
    note(address, device, endpoint === undefined ? onDeviceDefault(view.plan, device) : [endpoint]);
  return [...addresses]
    .sort(([a], [b]) => compareAddresses(a, b))
    .map(([address, endpoints]) => {
      const owners = [...(devices.get(address) ?? [])].sort();
      return {
        address,
        devices: owners,
        endpoints: [...new Set(endpoints)],
        ...seenAt(view, address, owners, survey),
      };
    });
}

/**
 * A default that the device gives, not a row, is that of its management ports (common practice, no source); of all its ports
 * with an address where it has none. A row with a default of its own keeps that.
 */
function onDeviceDefault(plan: Plan, device: string): Endpoint[] {
  const ports = indexOf(plan)
    .endpointsOf(device)
    .filter(({ defaultAddress, address }) => defaultAddress === undefined && address !== undefined);
  const management = ports.filter(({ role }) => role === 'management');
  return management.length > 0 ? management : ports;
}

type AtAddress = Pick<DefaultSeen, 'looks' | 'claimed' | 'duplicate' | 'outcome' | 'doubt' | 'reasons'>;

function seenAt(
  view: View,
  address: string,
  devices: readonly string[],
  survey: Survey | undefined,
): AtAddress {
  const looks = view.seen(address);
  const best = looks[0];
  const claimed = claimsIn(view).best(address);
  const duplicate = duplicateOf(view, claimsIn(view).ever(address), looks);
  const state = (outcome: AtAddress['outcome'], ...reasons: string[]): AtAddress => ({
    looks,
    claimed,
    duplicate,
    outcome,
    reasons,
  });
  if (best === undefined)
    return state(
      'unproven',
      devices.some((device) => view.lookedAt(device))
        ? 'not asked in this run'
        : 'not looked at: the run was limited to other devices',
    );
  const { sighting, evidence, responses } = best;
  if (looks.some(isOwn)) return state('unproven', `${evidence.vantage.name} itself has this address`);
  if (duplicate !== undefined)
    return state(
      'clash',
      duplicate.sure === 'proven' ? 'two devices answered one question' : (duplicate.why ?? 'likely'),
    );
  if (somebodyThere(claimed, responses))
    return { ...state('answers'), doubt: doubtOf(view, best, claimed, survey) };
  if (sighting.reach !== 'on-link')
    return state(
      'unproven',
      sighting.reachReason ??
        `${evidence.vantage.name} has no address in the network of ${address}: silence from here proves nothing`,
      ...mendOf(best),
    );
  if (sighting.presence.outcome === 'unclaimed') return state('silent');
  if (anyAsked(responses) && !letNothingOut(sighting))
    return state('silent', 'silent to everything that was asked');
  const why =
    sighting.presence.outcome === 'not-run'
      ? sighting.presence.reason
      : 'a router answers ARP for everything here';
  return state('unproven', `nothing could be asked of it: ${why}`, ...mendOf(best));
}

function doubtOf(
  { plan }: View,
  { sighting }: Seen,
  { claimants }: Claimed,
  survey: Survey | undefined,
): DefaultDoubt | undefined {
  const network = plan.networks.find(({ gateway }) => gateway === sighting.address)?.name;
  if (network !== undefined) return { kind: 'gateway', network };
  const before = survey?.entries.find(({ address }) => address === sighting.address);
  const mac = claimants.map((one) => one.mac).find((one) => before?.macs.includes(one));
  if (survey !== undefined && mac !== undefined) return { kind: 'held-before', mac, takenAt: survey.takenAt };
  return sighting.reach === 'routed' ? { kind: 'through-router' } : undefined;
}
