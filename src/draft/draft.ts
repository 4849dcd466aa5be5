/** Equipment list -> how many addresses it needs, whether the networks have them, and who gets which. Pure. */

import { type Finding, finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import { cidrContains, rangeContains } from '../plan/address.js';
import type { AddressRange, Endpoint, Plan, PlannedObservation } from '../plan/model.js';
import type { Equipment, EquipmentItem } from '../plan-file/equipment.js';
import { addressDuplicates } from '../review/address-duplicate.js';
import { addressPlacement } from '../review/address-placement.js';
import { addressesReserved } from '../review/address-reserved.js';
import { networkFindings } from '../review/networks.js';
import { rowsOf, viewOf } from '../review/plan-view.js';
import type { Span } from '../review/span.js';
import { cabled } from './cabling.js';
import { countDevices, countNetwork, type DraftDevice, type DraftNetwork, type WithBlock } from './count.js';
import { eyesOf } from './eyes.js';
import { spansOf } from './free.js';
import { giveOut, needsAddress } from './give-out.js';
import type { DraftNote } from './notes.js';
import { smallestPrefix } from './smallest.js';
import { devicesOf, wantedEndpoints } from './wanted.js';

export interface Draft {
  readonly site: Equipment['site'];
  readonly networks: readonly DraftNetwork[];
  readonly devices: readonly DraftDevice[];
  /** With the addresses given out, in the order of the equipment list. */
  readonly endpoints: readonly Endpoint[];
  /** Every port that needs an address has one. */
  readonly suffices: boolean;
  readonly findings: readonly Finding[];
  /** The plan that the address list belongs to. */
  readonly plan: Plan;
  readonly notes: readonly DraftNote[];
}

export interface DraftInputs {
  /** The list that was given out before: its numbers, cables and what was filled in stay. */
  readonly previous?: readonly Endpoint[];
  /** Addresses that answered in a survey. */
  readonly surveyed?: readonly string[];
  /** The customer's own list of what is to be looked at. */
  readonly observe?: readonly PlannedObservation[];
}

export function draftOf(written: Equipment, inputs: DraftInputs = {}): Draft {
  const previous = new Map((inputs.previous ?? []).map((endpoint) => [endpoint.id.toLowerCase(), endpoint]));
  const { equipment, notes: surveyNotes } = withSurvey(written, inputs.surveyed ?? [], previous);
  const wanted = wantedEndpoints(equipment).map((endpoint) => filledIn(endpoint, previous));
  const networks = equipment.networks.filter((network): network is WithBlock => network.cidr !== undefined);
  const kept = keptFree(equipment);
  const keptSpans = spansOf([...kept.reserved, ...kept.inUse]);
  const given = giveOut(wanted, networks, keptSpans, previous);
  const { endpoints, notes: cablingNotes } = cabled(equipment, given.endpoints);
  const needs = neededIn(networks, endpoints);
  const counted = networks.map((network) => countNetwork(network, needs.get(network.name) ?? [], kept));
  const observe = eyesOf(equipment, endpoints, inputs.observe ?? []);
  const plan = planOf(equipment, endpoints, observe);
  const view = viewOf(plan);
  const short = counted.filter((network) => network.short > 0);
  return {
    site: equipment.site,
    networks: counted,
    devices: countDevices(equipment, new Set([...needs.values()].flat())),
    endpoints,
    suffices: short.length === 0,
    findings: orderFindings([
      ...short.map((network) => notEnough(network, networks, needs.get(network.network) ?? [], keptSpans)),
      ...networkFindings(view),
      ...addressesReserved(view),
      ...addressPlacement(view),
      ...addressDuplicates(view),
    ]),
    plan,
    notes: [...notesOf(equipment), ...given.notes, ...surveyNotes, ...cablingNotes],
  };
}

/** Whoever answered has the address, save the device that the previous list gave it to. */
function withSurvey(
  equipment: Equipment,
  surveyed: readonly string[],
  previous: ReadonlyMap<string, Endpoint>,
): { equipment: Equipment; notes: DraftNote[] } {
  const names = new Set(wantedEndpoints(equipment).map(({ id }) => id.toLowerCase()));
  const owners = new Map(
    [...previous].flatMap(([id, { id: endpoint, address }]) =>
      address !== undefined && names.has(id) ? [[address, endpoint] as const] : [],
    ),
  );
  const others = surveyed.filter((address) => !owners.has(address));
  return {
    equipment: {
      ...equipment,
      networks: equipment.networks.map((network) => ({
        ...network,
        inUse: [
          ...network.inUse,
          ...others
            .filter((address) => network.cidr !== undefined && cidrContains(network.cidr, address))
            .filter((address) => !network.inUse.some((range) => rangeContains(range, address)))
            .map((address) => ({ first: address, last: address })),
        ],
      })),
    },
    notes: surveyed.flatMap((address): DraftNote[] => {
      const endpoint = owners.get(address);
      return endpoint === undefined ? [] : [{ kind: 'kept-answers', endpoint, address }];
    }),
  };
}

/** What people wrote into the previous list and an equipment list cannot say. */
function filledIn(endpoint: Endpoint, previous: ReadonlyMap<string, Endpoint>): Endpoint {
  const before = previous.get(endpoint.id.toLowerCase());
  if (before === undefined) return endpoint;
  const { mac, wwpn, switchPorts, interface: name, defaultAddress, note } = before;
  return {
    ...endpoint,
    mac,
    wwpn,
    switch: before.switch,
    switchPort: before.switchPort,
    switchPorts,
    interface: name,
    defaultAddress,
    note,
  };
}

/** Nobody is put where a router, the site, another device or a factory default is or will be, whichever network says so. */
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
  kept: readonly Span[],
): Finding {
  const at = networks.find(({ name }) => name === network)?.at ?? { file: '' };
  const prefixBits = smallestPrefix(cidr, needed, kept);
  return finding(
    'not-enough-addresses',
    network,
    { network, cidr, needed, usable, taken: usable - (needed - short), inUse, prefixBits },
    { evidence: rowsOf([{ name: network, value: cidr, at }]), about: needing.map(({ id }) => id) },
  );
}

function planOf(
  { site, networks, items }: Equipment,
  endpoints: readonly Endpoint[],
  observe: readonly PlannedObservation[],
): Plan {
  return {
    site,
    networks,
    devices: items.flatMap((item) =>
      devicesOf(item).map((name) => ({
        name,
        feeds: item.feeds,
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
    observe,
    vantages: [],
    availability: [],
    files: [],
  };
}

function notesOf({ items, networks }: Equipment): DraftNote[] {
  const blockless = new Set(networks.filter(({ cidr }) => cidr === undefined).map(({ name }) => name));
  return [
    ...items.flatMap(({ name, snmp }): DraftNote[] =>
      snmp === undefined ? [] : [{ kind: 'credential', item: name, credential: snmp }],
    ),
    ...items.flatMap(({ name, ports }) =>
      ports.flatMap((port): DraftNote[] =>
        port.network !== undefined && port.media !== 'fc' && blockless.has(port.network)
          ? [{ kind: 'no-block', item: name, port: port.name, network: port.network }]
          : [],
      ),
    ),
    ...items.flatMap(oneNetwork),
  ];
}

/** Several ways to the data of one device, all through one network. */
function oneNetwork({ name, controllers, ports }: EquipmentItem): DraftNote[] {
  const data = ports.filter(
    ({ role, network, virtual }) => role === 'data' && network !== undefined && !virtual,
  );
  const [network, second] = new Set(data.map((port) => port.network));
  const ways = data.reduce(
    (sum, { per }) => sum + (per === 'device' ? 1 : Math.max(1, controllers.length)),
    0,
  );
  return network === undefined || second !== undefined || ways < 2
    ? []
    : [{ kind: 'one-network', item: name, network, ports: data.map((port) => port.name) }];
}
