/** Equipment list -> how many addresses it needs, whether the networks have them, and who gets which. Pure. */

import { type Finding, finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import { parseCidr } from '../plan/address.js';
import type { AddressRange, Endpoint, Plan } from '../plan/model.js';
import type { Equipment } from '../plan-file/equipment.js';
import { addressDuplicates } from '../review/address-duplicate.js';
import { addressPlacement } from '../review/address-placement.js';
import { addressesReserved } from '../review/address-reserved.js';
import { networkFindings } from '../review/networks.js';
import { rowsOf, viewOf } from '../review/plan-view.js';
import type { Span } from '../review/span.js';
import { countDevices, countNetwork, type DraftDevice, type DraftNetwork, type WithBlock } from './count.js';
import { freeAddresses, spansOf } from './free.js';
import { devicesOf, wantedEndpoints } from './wanted.js';

export interface Draft {
  readonly site: Equipment['site'];
  readonly networks: readonly DraftNetwork[];
  readonly devices: readonly DraftDevice[];
  /** With the addresses given out, in order of device, controller and port. */
  readonly endpoints: readonly Endpoint[];
  /** Every port that needs an address has one. */
  readonly suffices: boolean;
  readonly findings: readonly Finding[];
  /** The plan that the address list belongs to, with what others have already among the reserved ranges. */
  readonly plan: Plan;
  /** What could not be carried over. */
  readonly notes: readonly string[];
}

export function draftOf(equipment: Equipment): Draft {
  const wanted = wantedEndpoints(equipment);
  const networks = equipment.networks.filter((network): network is WithBlock => network.cidr !== undefined);
  const kept = keptFree(equipment);
  const endpoints = giveOut(wanted, networks, spansOf([...kept.reserved, ...kept.inUse]));
  const needs = neededIn(networks, endpoints);
  const counted = networks.map((network) => countNetwork(network, needs.get(network.name) ?? [], kept));
  const plan = planOf(equipment, endpoints);
  const view = viewOf(plan);
  const short = counted.filter((network) => network.short > 0);
  return {
    site: equipment.site,
    networks: counted,
    devices: countDevices(equipment, new Set([...needs.values()].flat())),
    endpoints,
    suffices: short.length === 0,
    findings: orderFindings([
      ...short.map((network) => notEnough(network, networks, needs.get(network.network) ?? [])),
      ...networkFindings(view),
      ...addressesReserved(view),
      ...addressPlacement(view),
      ...addressDuplicates(view),
    ]),
    plan,
    notes: notesOf(equipment),
  };
}

/** Nobody is put where a router, the site, another box or a factory default is or will be, whichever network says so. */
function keptFree({ networks, items }: Equipment): { reserved: AddressRange[]; inUse: AddressRange[] } {
  const single = [
    ...networks.flatMap(({ gateway }) => gateway ?? []),
    ...items.flatMap(({ defaultAddresses }) => defaultAddresses),
  ];
  return {
    reserved: [
      ...networks.flatMap(({ reserved }) => reserved),
      ...single.map((address) => ({ first: address, last: address })),
    ],
    inUse: networks.flatMap(({ inUse }) => inUse),
  };
}

/** Lowest free address first, in the order of the endpoints. A port whose network has no more keeps none. */
function giveOut(
  wanted: readonly Endpoint[],
  networks: readonly WithBlock[],
  kept: readonly Span[],
): Endpoint[] {
  const free = new Map(networks.map(({ name, cidr }) => [name, freeAddresses(cidr, kept)]));
  const bits = new Map(networks.map(({ name, cidr }) => [name, parseCidr(cidr)?.prefixBits]));
  // Networks that overlap would give the same address twice.
  const given = new Set<string>();
  return wanted.map((endpoint) => {
    if (!needsAddress(endpoint)) return endpoint;
    const source = free.get(endpoint.network ?? '');
    let address = source?.next().value;
    while (address !== undefined && given.has(address)) address = source?.next().value;
    if (address === undefined) return endpoint;
    given.add(address);
    return { ...endpoint, address, prefixBits: bits.get(endpoint.network ?? '') };
  });
}

/** Fibre Channel ports stand in a fabric, which has no addresses (DESIGN 6). */
function needsAddress({ network, media }: Endpoint): boolean {
  return network !== undefined && media !== 'fc';
}

function neededIn(networks: readonly WithBlock[], endpoints: readonly Endpoint[]): Map<string, Endpoint[]> {
  const needs = new Map(networks.map(({ name }): [string, Endpoint[]] => [name, []]));
  for (const endpoint of endpoints)
    if (needsAddress(endpoint)) needs.get(endpoint.network ?? '')?.push(endpoint);
  return needs;
}

function notEnough(
  { network, cidr, usable, needed, short, inUse }: DraftNetwork,
  networks: readonly WithBlock[],
  needing: readonly Endpoint[],
): Finding {
  const at = networks.find(({ name }) => name === network)?.at ?? { file: '' };
  return finding(
    'not-enough-addresses',
    network,
    { network, cidr, needed, usable, taken: usable - (needed - short), inUse },
    { evidence: rowsOf([{ name: network, value: cidr, at }]), about: needing.map(({ id }) => id) },
  );
}

function planOf({ site, networks, items }: Equipment, endpoints: readonly Endpoint[]): Plan {
  return {
    site,
    networks: networks.map((network) => ({
      ...network,
      reserved: [...network.reserved, ...network.inUse],
      inUse: [],
    })),
    devices: items.flatMap((item) =>
      devicesOf(item).map((name) => ({
        name,
        feeds: [],
        defaultAddresses: item.defaultAddresses,
        macPrefixes: [],
        identity: {},
        controllers: {},
        existing: false,
        inferred: false,
        at: item.at,
      })),
    ),
    endpoints,
    groups: [],
    snmp: {},
    observe: [],
    vantages: [],
    availability: [],
    files: [],
  };
}

function notesOf({ items, networks }: Equipment): string[] {
  const blockless = new Set(networks.filter(({ cidr }) => cidr === undefined).map(({ name }) => name));
  return [
    ...items.flatMap(({ name, snmp }) =>
      snmp === undefined
        ? []
        : [
            `${name} is asked with the SNMP credential ${snmp}: a credential stands in a plan under snmp, so write it there.`,
          ],
    ),
    ...items.flatMap(({ name, ports }) =>
      ports.flatMap((port) =>
        port.network !== undefined && port.media !== 'fc' && blockless.has(port.network)
          ? [`${name} ${port.name} gets no address: the network ${port.network} has no cidr.`]
          : [],
      ),
    ),
  ];
}
