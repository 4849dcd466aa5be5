import { isVirtualRouterMac } from '../plan/mac.js';
import type { Endpoint, Network, Plan, SourceRef } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import { formatWhere } from '../plan/where.js';
import { naturalOrder } from '../text/sentence.js';
import { type Point, pointOf, type Span, spanOfCidr } from './span.js';

/** An endpoint that has an address. */
export type Addressed = Endpoint & { readonly address: string };
/** A network that has addresses. */
export type AddressedNetwork = Network & { readonly cidr: string };

/** The plan with the look-ups that several rules share. */
export interface PlanView {
  readonly plan: Plan;
  readonly networks: readonly AddressedNetwork[];
  readonly addressed: readonly Addressed[];
  /** The network an endpoint is planned in: the one it names, else the narrowest that contains its address. */
  networkOf(endpoint: Endpoint): Network | undefined;
  /** The narrowest network that the address lies in. */
  networkAt(address: string): Network | undefined;
  endpointsOf(device: string): readonly Endpoint[];
  /** The address as a number. Remembered: large lists ask for each many times. */
  point(address: string): Point;
  /** First to last address of a network's block. */
  span(network: AddressedNetwork): Span;
}

export function viewOf(plan: Plan): PlanView {
  const networks = plan.networks.filter(hasCidr);
  const spans = new Map(networks.map((network) => [network, spanOfCidr(network.cidr)]));
  const span = (network: AddressedNetwork) => spans.get(network) ?? spanOfCidr(network.cidr);
  const points = new Map<string, Point>();
  const point = (address: string) => {
    const known = points.get(address) ?? pointOf(address);
    points.set(address, known);
    return known;
  };
  const index = indexOf(plan);
  return {
    plan,
    networks,
    addressed: plan.endpoints.filter(hasAddress),
    networkAt: index.networkAt,
    networkOf: index.networkOf,
    endpointsOf: index.endpointsOf,
    point,
    span,
  };
}

function hasAddress(endpoint: Endpoint): endpoint is Addressed {
  return endpoint.address !== undefined;
}

export function hasCidr(network: Network): network is AddressedNetwork {
  return network.cidr !== undefined;
}

/** May move between devices: marked so, or with a virtual router's MAC (RFC 9568 §7.3). */
export function isVirtual(endpoint: Endpoint): boolean {
  return endpoint.virtual || (endpoint.mac !== undefined && isVirtualRouterMac(endpoint.mac));
}

/** `vault-1/A`, or `vault-1` where there is no controller. */
export function deviceAndController(endpoint: Endpoint): string {
  return endpoint.controller === undefined ? endpoint.device : `${endpoint.device}/${endpoint.controller}`;
}

/** In order of first appearance; items whose key is undefined are left out. */
export function groupBy<Item, Key>(
  items: Iterable<Item>,
  keyOf: (item: Item) => Key | undefined,
): Map<Key, Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    if (key === undefined) continue;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return groups;
}

export function unique<Value>(values: Iterable<Value>): Value[] {
  return [...new Set(values)];
}

export function sortedUnique(values: Iterable<string>): string[] {
  return unique(values).sort(naturalOrder);
}

/** Most rows that one finding shows; the rest is counted. */
const EVIDENCE_LIMIT = 20;

/** The rows that cause a finding, as evidence. */
export function rowsOf(
  things: readonly { readonly name: string; readonly value?: string | undefined; readonly at: SourceRef }[],
): string[] {
  const lines = unique(
    things.map(
      ({ name, value, at }) => `${formatWhere(at)}: ${value === undefined ? name : `${name} ${value}`}`,
    ),
  );
  return lines.length <= EVIDENCE_LIMIT
    ? lines
    : [...lines.slice(0, EVIDENCE_LIMIT), `and ${lines.length - EVIDENCE_LIMIT} more rows`];
}

/** Evidence and links for a finding about endpoints. `value` picks what the row says wrong. */
export function citing(
  endpoints: readonly Endpoint[],
  value: (endpoint: Endpoint) => string | undefined = (endpoint) => endpoint.address,
  others: readonly {
    readonly name: string;
    readonly value?: string | undefined;
    readonly at: SourceRef;
  }[] = [],
): { evidence: string[]; about: string[] } {
  return {
    evidence: rowsOf([...endpoints.map((e) => ({ name: e.id, value: value(e), at: e.at })), ...others]),
    about: endpoints.map((endpoint) => endpoint.id),
  };
}
