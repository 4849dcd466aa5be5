import { type Finding, finding } from '../findings/index.js';
import { cidrsOverlap, prefixBitsOf } from '../plan/address.js';
import type { Endpoint, Network } from '../plan/model.js';
import { naturalOrder } from '../text/sentence.js';
import { type AddressedNetwork, citing, groupBy, hasCidr, type PlanView, sortedUnique } from './plan-view.js';

/** Management in networks that no router joins: one machine cannot manage all of it. */
export function managementApart(view: PlanView): Finding[] {
  const managed = view.addressed.filter((endpoint) =>
    ['management', 'switch', 'power'].includes(endpoint.role),
  );
  const placed = groupBy(managed, (endpoint) => {
    const network = view.networkOf(endpoint);
    return network !== undefined && hasCidr(network) ? linkOf(view, network) : undefined;
  });
  if (placed.size < 2) return [];
  const devices = withinDevices(placed, managed);
  return [...devices.findings, ...betweenNetworks(placed, devices.told)];
}

/** One device whose own management ports are apart. */
function withinDevices(
  placed: ReadonlyMap<Network, Endpoint[]>,
  managed: readonly Endpoint[],
): { findings: Finding[]; told: Set<string> } {
  const findings: Finding[] = [];
  const told = new Set<string>();
  const ports = managed.filter((endpoint) => endpoint.role === 'management');
  for (const [device, endpoints] of groupBy(ports, (endpoint) => endpoint.device)) {
    const networks = [...placed.keys()].filter((network) =>
      placed.get(network)?.some((endpoint) => endpoint.device === device && endpoint.role === 'management'),
    );
    const unrouted = networks.filter((network) => !network.routed);
    if (networks.length < 2 || unrouted.length === 0) continue;
    told.add(device);
    findings.push(
      apart('device', device, networks, [device], unrouted, endpoints, networks.every(isWritten)),
    );
  }
  return { findings, told };
}

/** Devices whose management is elsewhere than that of most. */
function betweenNetworks(placed: ReadonlyMap<Network, Endpoint[]>, told: ReadonlySet<string>): Finding[] {
  const largestFirst = [...placed].sort(
    ([a, left], [b, right]) => right.length - left.length || naturalOrder(a.name, b.name),
  );
  const [main, ...others] = largestFirst;
  if (main === undefined) return [];
  return others.flatMap(([network, all]) => {
    const endpoints = all.filter((endpoint) => !told.has(endpoint.device));
    const unrouted = [network, main[0]].filter((one) => !one.routed);
    if (unrouted.length === 0 || endpoints.length === 0) return [];
    const devices = sortedUnique(endpoints.map((endpoint) => endpoint.device));
    const written = isWritten(network) && isWritten(main[0]);
    return [apart('network', network.name, [main[0]], devices, unrouted, endpoints, written)];
  });
}

function apart(
  kind: 'device' | 'network',
  subject: string,
  networks: readonly Network[],
  devices: readonly string[],
  unrouted: readonly Network[],
  endpoints: readonly Endpoint[],
  written: boolean,
): Finding {
  return finding(
    'management-apart',
    subject,
    {
      kind,
      subject,
      networks: sortedUnique(networks.map((network) => network.name)),
      devices,
      unrouted: sortedUnique(unrouted.map((network) => network.name)),
    },
    {
      ...citing(
        endpoints,
        (endpoint) => `${endpoint.address} in ${endpoint.network}`,
        unrouted.map((network) => ({ name: network.name, value: 'not routed', at: network.at })),
      ),
      // A list alone cannot say what is routed.
      ...(written ? {} : { severity: 'note' as const }),
    },
  );
}

/** Networks guessed from rows with different prefixes are one link with a slip in it (mask-mismatch): the widest stands for all. */
function linkOf(view: PlanView, network: AddressedNetwork): Network {
  if (!network.inferred) return network;
  const around = view.networks.filter((other) => cidrsOverlap(other.cidr, network.cidr));
  return around.reduce(
    (wide, other) => ((prefixBitsOf(other.cidr) ?? 0) < (prefixBitsOf(wide.cidr) ?? 0) ? other : wide),
    network,
  );
}

function isWritten(network: Network): boolean {
  return !network.inferred;
}
