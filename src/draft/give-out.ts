/** Who gets which address. Numbers that were given before stay; the others get the lowest free one, in the order of the list. */
import { cidrContains, parseCidr, specialInBlock } from '../plan/address.js';
import type { Endpoint } from '../plan/model.js';
import type { Span } from '../review/span.js';
import type { WithBlock } from './count.js';
import { freeAddresses } from './free.js';
import type { DraftNote } from './notes.js';

export interface GivenOut {
  readonly endpoints: readonly Endpoint[];
  readonly notes: readonly DraftNote[];
}

/** Fibre Channel ports stand in a fabric, which has no addresses (DESIGN 6). */
export function needsAddress({ network, media }: Endpoint): boolean {
  return network !== undefined && media !== 'fc';
}

/**
 * `previous`: endpoints of the list that was given out before, by id in lower case. A port whose network has no more addresses
 * keeps none. What the previous list has and this equipment has not is given to nobody.
 */
export function giveOut(
  wanted: readonly Endpoint[],
  networks: readonly WithBlock[],
  kept: readonly Span[],
  previous: ReadonlyMap<string, Endpoint>,
): GivenOut {
  const byName = new Map(networks.map((network) => [network.name, network]));
  const { given, holders, notes } = keptNumbers(wanted, byName, previous);
  const free = new Map(networks.map(({ name, cidr }) => [name, freeAddresses(cidr, kept)]));
  const endpoints = wanted.map((endpoint): Endpoint => {
    const network = byName.get(endpoint.network ?? '');
    if (!needsAddress(endpoint) || network === undefined) return endpoint;
    let address = holders.get(endpoint.id);
    if (address === undefined) {
      // Networks that overlap would give the same address twice.
      const source = free.get(network.name);
      do address = source?.next().value;
      while (address !== undefined && given.has(address));
      if (address === undefined) return endpoint;
      given.add(address);
    }
    return { ...endpoint, address, prefixBits: parseCidr(network.cidr)?.prefixBits };
  });
  return { endpoints, notes };
}

interface KeptNumbers {
  /** Addresses that somebody has. */
  readonly given: Set<string>;
  /** Endpoint id -> the address it keeps. */
  readonly holders: ReadonlyMap<string, string>;
  readonly notes: readonly DraftNote[];
}

function keptNumbers(
  wanted: readonly Endpoint[],
  networks: ReadonlyMap<string, WithBlock>,
  previous: ReadonlyMap<string, Endpoint>,
): KeptNumbers {
  const given = new Set<string>();
  const holders = new Map<string, string>();
  const notes: DraftNote[] = [];
  const names = new Set(wanted.map(({ id }) => id.toLowerCase()));
  for (const endpoint of wanted) {
    const address = previous.get(endpoint.id.toLowerCase())?.address;
    const network = networks.get(endpoint.network ?? '');
    if (address === undefined || network === undefined || !needsAddress(endpoint)) continue;
    const why = given.has(address)
      ? 'given-twice'
      : !cidrContains(network.cidr, address) || specialInBlock(network.cidr, address) !== undefined
        ? 'outside-network'
        : undefined;
    if (why !== undefined) notes.push({ kind: 'not-kept', endpoint: endpoint.id, address, why });
    else {
      given.add(address);
      holders.set(endpoint.id, address);
    }
  }
  for (const [id, { id: endpoint, address }] of previous)
    if (address !== undefined && !names.has(id) && !given.has(address)) {
      given.add(address);
      if ([...networks.values()].some(({ cidr }) => cidrContains(cidr, address)))
        notes.push({ kind: 'held', endpoint, address });
    }
  return { given, holders, notes };
}
