import { type Finding, finding } from '../findings/index.js';
import type { Holders } from '../findings/plan-networks.js';
import { cidrsOverlap, parseAddress, prefixBitsOf, prefixOfMask } from '../plan/address.js';
import type { Endpoint } from '../plan/model.js';
import { naturalOrder } from '../text/sentence.js';
import { type Addressed, citing, groupBy, type PlanView } from './plan-view.js';

/** Rows of one network that give another mask or gateway than the network, or than most of their neighbours. */
export function maskMismatches(view: PlanView): Finding[] {
  const findings: Finding[] = [];
  for (const place of placesOf(view)) {
    findings.push(
      ...oddOnes(place, 'prefix', place.prefix, (endpoint) => prefixInRow(endpoint)),
      ...oddOnes(place, 'gateway', place.gateway, (endpoint) => gatewayInRow(endpoint)),
    );
  }
  return findings;
}

interface Place {
  readonly name: string;
  readonly prefix?: string | undefined;
  readonly gateway?: string | undefined;
  readonly endpoints: readonly Addressed[];
}

/** Networks that somebody wrote, and networks that were guessed from rows, joined where they overlap. */
function placesOf(view: PlanView): Place[] {
  const byNetwork = groupBy(view.addressed, (endpoint) => view.networkOf(endpoint)?.name);
  const taken = new Set<string>();
  const written = view.plan.networks.filter((network) => !network.inferred);
  const guessed = view.networks.filter((network) => network.inferred);
  const collect = (name: string, cidr: string | undefined): Addressed[] => {
    const inside = guessed.filter(
      (other) => cidr !== undefined && !taken.has(other.name) && cidrsOverlap(cidr, other.cidr),
    );
    for (const other of inside) taken.add(other.name);
    return [
      ...(byNetwork.get(name) ?? []),
      ...inside.filter((other) => other.name !== name).flatMap((other) => byNetwork.get(other.name) ?? []),
    ];
  };
  const places: Place[] = written.map((network) => ({
    name: network.name,
    prefix: network.cidr === undefined ? undefined : `/${prefixBitsOf(network.cidr)}`,
    gateway: network.gateway,
    endpoints: collect(network.name, network.cidr),
  }));
  const widestFirst = [...guessed].sort((a, b) => (prefixBitsOf(a.cidr) ?? 0) - (prefixBitsOf(b.cidr) ?? 0));
  for (const network of widestFirst) {
    if (taken.has(network.name)) continue;
    places.push({
      name: network.name,
      gateway: network.gateway,
      endpoints: collect(network.name, network.cidr),
    });
  }
  return places;
}

function oddOnes(
  place: Place,
  what: 'prefix' | 'gateway',
  stated: string | undefined,
  inRow: (endpoint: Endpoint) => string | undefined,
): Finding[] {
  const groups = [...groupBy(place.endpoints, inRow)].sort(
    ([a, left], [b, right]) => right.length - left.length || naturalOrder(a, b),
  );
  const expected = stated ?? groups[0]?.[0];
  const odd = groups.filter(([value]) => value !== expected);
  if (expected === undefined || odd.length === 0) return [];
  const holders: Holders[] = odd.map(([value, endpoints]) => ({
    value,
    endpoints: endpoints.map((endpoint) => endpoint.id),
  }));
  return [
    finding(
      'mask-mismatch',
      place.name,
      {
        what,
        network: place.name,
        expected,
        by: stated === undefined ? 'neighbours' : 'network',
        odd: holders,
      },
      citing(
        odd.flatMap(([, endpoints]) => endpoints),
        (endpoint) => `${endpoint.address} ${what === 'prefix' ? '' : 'gateway '}${inRow(endpoint)}`,
      ),
    ),
  ];
}

const MASK_HEADERS = ['mask', 'netmask', 'subnetmask', 'prefix', 'prefixlength'];
const GATEWAY_HEADERS = ['gateway', 'defaultgateway', 'gw', 'router'];

/** `/24`; or a mask as written where it is none (RFC 4632 §3.1 knows only unbroken ones). */
function prefixInRow(endpoint: Endpoint): string | undefined {
  if (endpoint.prefixBits !== undefined) return `/${endpoint.prefixBits}`;
  const text = extra(endpoint, MASK_HEADERS);
  if (text === undefined) return undefined;
  const digits = /^\/?(\d{1,3})$/.exec(text)?.[1];
  if (digits !== undefined) return `/${Number(digits)}`;
  const mask = parseAddress(text);
  if (mask === undefined || mask.includes(':')) return undefined;
  const bits = prefixOfMask(mask);
  return bits === undefined ? mask : `/${bits}`;
}

function gatewayInRow(endpoint: Endpoint): string | undefined {
  const text = extra(endpoint, GATEWAY_HEADERS);
  return text === undefined ? undefined : parseAddress(text);
}

/** Text of a column that the model has no place for, found by its header without case, blanks, `_` and `-`. */
function extra(endpoint: Endpoint, headers: readonly string[]): string | undefined {
  for (const [header, text] of Object.entries(endpoint.extra)) {
    if (headers.includes(header.toLowerCase().replace(/[\s_-]/g, ''))) return text.trim() || undefined;
  }
  return undefined;
}
