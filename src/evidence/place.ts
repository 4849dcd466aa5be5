/**
 * Where the laptop stands to each network of the plan: on its link by the planned prefix, or in a place that cannot tell (DESIGN 6).
 * An endpoint is on the laptop's link only where the laptop's own prefix agrees with the planned one; where nobody of a network answers,
 * its gateway included, the laptop is in the wrong place, and silence there proves nothing.
 */

import { cidrContains, hostOf, isLoopback, prefixBitsOf } from '../plan/address.js';
import type { Network, Plan } from '../plan/model.js';
import type { AddressSighting, Evidence } from '../sighting/types.js';
import { thereAlone } from './there.js';

export type Place =
  /** Silence here means absence. */
  | { readonly kind: 'there' }
  /** The laptop's prefix takes in more than the planned network: the system asks on its own link for what may lie elsewhere. */
  | { readonly kind: 'prefix-differs'; readonly own: string }
  /** The switch says that the laptop's port is in another VLAN (LLDP), and nobody of the network answers. */
  | { readonly kind: 'other-vlan'; readonly vlan: number; readonly planned: number; readonly port: string }
  /** Several addresses of the network were asked, its gateway included, and nobody answered. */
  | { readonly kind: 'nobody-answers'; readonly asked: number; readonly gateway: boolean }
  /** Two ports of the laptop share the prefix, and the system asks by one of them only. */
  | { readonly kind: 'two-ports'; readonly ports: readonly string[]; readonly used: string };

/** With fewer addresses asked than this, one that is silent is as likely missing as the laptop misplaced (common practice, no source). */
const TELLING = 2;

export interface Places {
  /** Of the run, for the network that the address lies in. Only for what was asked on the laptop's own link. */
  at(evidence: Evidence, address: string): Place;
  /** Every network in which the laptop stands wrong, a run. */
  readonly wrong: readonly {
    readonly evidence: Evidence;
    readonly network: Network;
    readonly place: Place;
  }[];
}

const THERE: Place = { kind: 'there' };

export function placesOf(
  plan: Plan,
  evidence: readonly Evidence[],
  networkAt: (address: string) => Network | undefined,
): Places {
  const known = new Map<Evidence, Map<string, Place>>();
  for (const one of evidence) {
    const byNetwork = new Map<string, AddressSighting[]>();
    for (const sighting of one.sightings) {
      const name = sighting.reach === 'on-link' ? networkAt(sighting.address)?.name : undefined;
      if (name !== undefined) byNetwork.set(name, [...(byNetwork.get(name) ?? []), sighting]);
    }
    const places = new Map<string, Place>();
    for (const [name, sightings] of byNetwork) {
      const network = plan.networks.find((each) => each.name === name);
      if (network !== undefined) places.set(name, placeIn(network, one, sightings));
    }
    known.set(one, places);
  }
  return {
    at: (one, address) => known.get(one)?.get(networkAt(address)?.name ?? '') ?? THERE,
    wrong: [...known].flatMap(([one, places]) =>
      plan.networks.flatMap((network) => {
        const place = places.get(network.name);
        return place === undefined || place.kind === 'there' ? [] : [{ evidence: one, network, place }];
      }),
    ),
  };
}

function placeIn(network: Network, evidence: Evidence, sightings: readonly AddressSighting[]): Place {
  const others = sightings.filter(({ own, address }) => !own && !isLoopback(address));
  if (others.length === 0) return THERE;
  const somebody = others.some(thereAlone);
  const used = others.find((one) => one.interface !== undefined)?.interface;
  const prefix = prefixThere(network, evidence, used);
  if (prefix !== undefined && !somebody) return { kind: 'prefix-differs', own: prefix };
  const ports = portsInto(network, evidence);
  if (ports.length > 1 && used !== undefined) return { kind: 'two-ports', ports, used };
  if (somebody) return THERE;
  const told = evidence.ownNeighbours.find(
    ({ localPort, vlan }) => vlan !== undefined && (used === undefined || localPort === used),
  );
  if (told?.vlan !== undefined && network.vlan !== undefined)
    return told.vlan === network.vlan
      ? THERE
      : { kind: 'other-vlan', vlan: told.vlan, planned: network.vlan, port: told.localPort };
  // Only silence that was heard out counts: where nothing could be asked, its own reason stands.
  const asked = others.filter(({ presence }) => presence.outcome === 'unclaimed');
  if (asked.length < TELLING || asked.length < others.length) return THERE;
  const gateway = network.gateway !== undefined && asked.some(({ address }) => address === network.gateway);
  return { kind: 'nobody-answers', asked: asked.length, gateway };
}

/** The laptop's address whose prefix reaches further than the planned network, as it stands at its port. */
function prefixThere(network: Network, { vantage }: Evidence, used: string | undefined): string | undefined {
  if (network.cidr === undefined || network.inferred) return undefined;
  const base = hostOf(network.cidr);
  const bits = prefixBitsOf(network.cidr) ?? 0;
  const own = vantage.interfaces
    .filter(({ name }) => used === undefined || name === used)
    .flatMap(({ addresses }) => addresses)
    .filter((address) => cidrContains(address, base));
  if (own.length === 0 || own.some((address) => prefixBitsOf(address) === bits)) return undefined;
  return own.find((address) => (prefixBitsOf(address) ?? bits) < bits);
}

/** Ports with link whose own prefix lies over the network. */
function portsInto(network: Network, { vantage }: Evidence): string[] {
  const { cidr } = network;
  if (cidr === undefined) return [];
  return vantage.interfaces
    .filter(({ up, addresses }) => up && addresses.some((address) => cidrContains(cidr, hostOf(address))))
    .map(({ name }) => name);
}

/** Why silence at this place proves nothing. Made here for every fact and finding that needs it. */
export function sayPlace(place: Place, vantage: string, network: string): string {
  switch (place.kind) {
    case 'there':
      return '';
    case 'prefix-differs':
      return `${vantage} has ${place.own}, which is not the prefix of ${network}: silence on its own link proves nothing`;
    case 'other-vlan':
      return `the switch port of ${vantage} is in VLAN ${place.vlan}, and ${network} is VLAN ${place.planned}`;
    case 'nobody-answers':
      return `nobody of ${network} answers ${vantage}${place.gateway ? ', not even its gateway' : ''}: it may be on another network or VLAN`;
    case 'two-ports':
      return `${vantage} has ${place.ports.join(' and ')} in ${network} and asks by ${place.used} alone`;
  }
}
