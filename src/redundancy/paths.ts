/**
 * Group -> planned paths.
 * A plain group has one path for each member. A group with `from` and `to` has one for each pair of a host port of the
 * device `from` and a member of the group `to` on the same network; for Fibre Channel the network is the fabric.
 * A path runs through its controller, switch and network, the links between the switches of its two ends, the feed of each device that has only one (of a device with several
 * it needs any), and every other kind that `independent` names. The device itself is a thing only where `independent`
 * names `device`: a single array is there by intent.
 */
import type { Endpoint, Group, Plan } from '../plan/model.js';
import { tooManyPaths } from './ceiling.js';
import { hopsBetween, switchLinksOf } from './switch-links.js';
import {
  isUsualKind,
  keyOf,
  kindOf,
  type Lookup,
  type Measured,
  type Requirement,
  requirementsOf,
  switchesOf,
} from './things.js';

export interface PlannedPath {
  /** Endpoint id, or `host endpoint id -> data endpoint id`. */
  readonly id: string;
  readonly endpoints: readonly string[];
  readonly requires: readonly Requirement[];
  /** Planned speed of the slowest end, where one is planned. */
  readonly speedMbps: number | undefined;
}

export interface GroupPaths {
  readonly group: Group;
  readonly paths: readonly PlannedPath[];
  /** Kinds that `independent` names, in one spelling. Empty: nothing was written. */
  readonly promised: readonly string[];
  /** Why there are fewer paths than the plan seems to mean. */
  readonly why?: string | undefined;
  /** How many paths it would have, where that is more than is held: then `paths` is empty, and nothing follows from that. */
  readonly tooMany?: number | undefined;
}

const looked = new WeakMap<Plan, Omit<Lookup, 'measured'>>();

/** Made once a plan: a hall has a thousand groups. */
export function lookupOf(plan: Plan, measured: ReadonlyMap<string, Measured> = new Map()): Lookup {
  const known = looked.get(plan);
  if (known !== undefined) return { ...known, measured };
  const lookup = {
    devices: new Map(plan.devices.map((device) => [device.name, device])),
    endpoints: new Map(plan.endpoints.map((endpoint) => [endpoint.id, endpoint])),
    networks: new Map(plan.networks.map((network) => [network.name, network])),
    switchLinks: switchLinksOf(plan),
    tooMany: tooManyPaths(plan),
  };
  looked.set(plan, lookup);
  return { ...lookup, measured };
}

export function pathsOf(group: Group, groups: readonly Group[], lookup: Lookup): GroupPaths {
  const promised = [...new Set(group.independent.map(kindOf))];
  const columns = promised.filter((kind) => !isUsualKind(kind));
  const known = (ids: readonly string[]) =>
    ids.flatMap((id) => {
      const endpoint = lookup.endpoints.get(id);
      return endpoint === undefined ? [] : [endpoint];
    });
  if (group.from === undefined) {
    const paths = known(group.members).map((endpoint) => onePath(endpoint, columns, lookup));
    return { group, promised, paths, ...(paths.length === 0 ? { why: 'no endpoint carries its name' } : {}) };
  }
  const tooMany = lookup.tooMany.get(group.name);
  if (tooMany !== undefined) return { group, promised, paths: [], tooMany };
  const hosts = [...lookup.endpoints.values()].filter((e) => e.device === group.from && e.role === 'host');
  const data = known(groups.find((other) => other.name === group.to)?.members ?? []);
  const paths = hosts.flatMap((host) =>
    data
      .filter((end) => end.network !== undefined && end.network === host.network)
      .map((end) => pairPath(host, end, columns, lookup)),
  );
  const why = whyNone(group, hosts, data, paths.length);
  return { group, promised, paths, ...(why === undefined ? {} : { why }) };
}

function whyNone(
  group: Group,
  hosts: readonly Endpoint[],
  data: readonly Endpoint[],
  paths: number,
): string | undefined {
  if (hosts.length === 0) return `${group.from ?? ''} has no endpoint with the role host`;
  if (data.length === 0) return `the group ${group.to ?? ''} has no endpoints`;
  return paths === 0
    ? `no host port of ${group.from ?? ''} shares a network with ${group.to ?? ''}`
    : undefined;
}

function onePath(endpoint: Endpoint, columns: readonly string[], lookup: Lookup): PlannedPath {
  return {
    id: endpoint.id,
    endpoints: [endpoint.id],
    requires: withoutRepeats(requirementsOf(endpoint, 'only', columns, lookup)),
    speedMbps: endpoint.speedMbps,
  };
}

function pairPath(host: Endpoint, end: Endpoint, columns: readonly string[], lookup: Lookup): PlannedPath {
  return {
    id: `${host.id} -> ${end.id}`,
    endpoints: [host.id, end.id],
    requires: withoutRepeats([
      ...requirementsOf(host, 'host', columns, lookup),
      ...requirementsOf(end, 'array', columns, lookup),
      ...between(host, end, lookup),
    ]),
    speedMbps: slowest([host.speedMbps, end.speedMbps]),
  };
}

/** The links between switches that the path crosses, and the switches on the way. */
function between(host: Endpoint, end: Endpoint, lookup: Lookup): Requirement[] {
  const [near = [], far = []] = [host, end].map((one) =>
    switchesOf(one, lookup.measured.get(one.id)).map(({ name }) => name),
  );
  // Both ends have a member on one switch: nothing lies between.
  if (near.some((name) => far.includes(name))) return [];
  const [from, to] = [near[0], far[0]];
  if (from === undefined || to === undefined) return [];
  return (hopsBetween(lookup.switchLinks, from, to) ?? []).flatMap((hop): Requirement[] => [
    hop.links.map(({ endpoint }) => ({ kind: 'switch-link', name: endpoint, source: 'planned' as const })),
    ...(hop.to === to ? [] : [[{ kind: 'switch', name: hop.to, source: 'planned' as const }]]),
  ]);
}

export function slowest(speeds: readonly (number | undefined)[]): number | undefined {
  const known = speeds.filter((mbps) => mbps !== undefined);
  return known.length === 0 ? undefined : Math.min(...known);
}

function withoutRepeats(requirements: readonly Requirement[]): Requirement[] {
  const seen = new Map<string, Requirement>();
  for (const requirement of requirements) {
    const key = requirement.map(keyOf).sort().join('\u0001');
    // Two ends on one switch, one measured and one planned: the measured one is the better word.
    if (!seen.has(key) || requirement.some((thing) => thing.source === 'measured'))
      seen.set(key, requirement);
  }
  return [...seen.values()];
}
