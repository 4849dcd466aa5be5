/** Equipment list -> how many addresses it needs, whether the networks have them, and who gets which. Pure. */

import { orderFindings } from '../judge/order.js';
import { addressDuplicates } from '../judge/review/address-duplicate.js';
import { addressPlacement } from '../judge/review/address-placement.js';
import { addressesReserved } from '../judge/review/address-reserved.js';
import { networkFindings } from '../judge/review/networks.js';
import { rowsOf, viewOf } from '../judge/review/plan-view.js';
import { covered, type Span } from '../judge/review/span.js';
import { type Finding, finding } from '../judge/rules/index.js';
import { parseCidr, usableRange } from '../plan/address.js';
import type { AddressRange, Endpoint, Plan } from '../plan/model.js';
import type { Equipment, EquipmentNetwork } from '../plan-file/equipment.js';
import { freeAddresses, spansOf, usableSpan } from './free.js';
import { devicesOf, wantedEndpoints } from './wanted.js';

/** Counts of addresses; past 2^53-1 they are cut there. */
export interface DraftNetwork {
  readonly network: string;
  readonly cidr: string;
  readonly usable: number;
  /** Reserved ranges, the gateway, and factory defaults, which have to stay free. */
  readonly reserved: number;
  /** Had by others on the site already, and not reserved as well. */
  readonly inUse: number;
  readonly free: number;
  readonly needed: number;
  /** Free after this equipment. */
  readonly left: number;
  /** Needed and not there. */
  readonly short: number;
}

export interface DraftDevice {
  readonly device: string;
  readonly needed: number;
  /** By controller; `controller` is empty for what the device has once. */
  readonly controllers: readonly { readonly controller: string; readonly needed: number }[];
  /** Network -> addresses needed in it. */
  readonly networks: Readonly<Record<string, number>>;
}

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

type WithBlock = EquipmentNetwork & { readonly cidr: string };

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

function countNetwork(
  { name, cidr }: WithBlock,
  needing: readonly Endpoint[],
  kept: { readonly reserved: readonly AddressRange[]; readonly inUse: readonly AddressRange[] },
): DraftNetwork {
  const usable = usableRange(cidr).count;
  const reserved = covered(usableSpan(cidr), spansOf(kept.reserved));
  const all = covered(usableSpan(cidr), spansOf([...kept.reserved, ...kept.inUse]));
  const given = needing.filter(({ address }) => address !== undefined).length;
  return {
    network: name,
    cidr,
    usable: safe(usable),
    reserved: safe(reserved),
    inUse: safe(all - reserved),
    free: safe(usable - all),
    needed: needing.length,
    left: safe(usable - all - BigInt(given)),
    short: needing.length - given,
  };
}

function countDevices(equipment: Equipment, needing: ReadonlySet<Endpoint>): DraftDevice[] {
  const byDevice = new Map<string, Endpoint[]>();
  for (const item of equipment.items) for (const device of devicesOf(item)) byDevice.set(device, []);
  for (const endpoint of needing) byDevice.get(endpoint.device)?.push(endpoint);
  return [...byDevice].map(([device, own]) => ({
    device,
    needed: own.length,
    controllers: tally(own.map(({ controller }) => controller ?? '')).map(([controller, needed]) => ({
      controller,
      needed,
    })),
    networks: Object.fromEntries(tally(own.map(({ network }) => network ?? ''))),
  }));
}

function tally(words: readonly string[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1);
  return [...counts];
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
    networks: networks.map(({ inUse, ...network }) => ({
      ...network,
      reserved: [...network.reserved, ...inUse],
    })),
    devices: items.flatMap((item) =>
      devicesOf(item).map((name) => ({
        name,
        feeds: [],
        defaultAddresses: item.defaultAddresses,
        macPrefixes: [],
        identity: {},
        controllers: {},
        inferred: false,
        at: item.at,
      })),
    ),
    endpoints,
    groups: [],
    snmp: {},
    observe: [],
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

function safe(value: bigint): number {
  if (value < 0n) return 0;
  return value > BigInt(Number.MAX_SAFE_INTEGER) ? Number.MAX_SAFE_INTEGER : Number(value);
}
