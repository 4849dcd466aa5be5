/** Look-ups in a plan that a hall of thousands of endpoints needs often. Made once a plan. */
import type { Device, Endpoint, Network, Plan } from './model.js';
import { networkFinder } from './network-finder.js';

/** A factory default. `endpoint`: where a row says it of one port; absent where it is the device's. */
export interface DefaultAddress {
  readonly address: string;
  readonly device: string;
  readonly endpoint?: Endpoint | undefined;
}

export interface PlanIndex {
  device(name: string): Device | undefined;
  endpointsOf(device: string): readonly Endpoint[];
  withMac(mac: string): readonly Endpoint[];
  at(address: string): readonly Endpoint[];
  /** The network that the address lies in, the narrowest where several do. */
  networkAt(address: string): Network | undefined;
  /** The network that the endpoint names, else the one that its address lies in. */
  networkOf(endpoint: Pick<Endpoint, 'network' | 'address'>): Network | undefined;
  /** Every factory default that the plan knows. One address may come several times. */
  readonly defaults: readonly DefaultAddress[];
  /** Every address that the plan names: of endpoints, defaults, gateways. */
  readonly addresses: ReadonlySet<string>;
  /** Devices that have a MAC prefix which one of these MACs starts with, in the plan's order. */
  withPrefixOf(macs: readonly string[]): readonly Device[];
}

const made = new WeakMap<Plan, PlanIndex>();

export function indexOf(plan: Plan): PlanIndex {
  const known = made.get(plan);
  if (known !== undefined) return known;
  const index = makeIndex(plan);
  made.set(plan, index);
  return index;
}

function makeIndex(plan: Plan): PlanIndex {
  const devices = new Map(plan.devices.map((device) => [device.name, device]));
  const byDevice = grouped(plan.endpoints, ({ device }) => [device]);
  const byMac = grouped(plan.endpoints, ({ mac }) => (mac === undefined ? [] : [mac]));
  const byAddress = grouped(plan.endpoints, ({ address }) => (address === undefined ? [] : [address]));
  const byPrefix = grouped(plan.devices, ({ macPrefixes }) => macPrefixes);
  const networks = new Map(plan.networks.map((network) => [network.name, network]));
  const networkAt = networkFinder(plan.networks);
  const defaults = defaultsOf(plan);
  const order = new Map(plan.devices.map((device, position) => [device, position]));
  return {
    device: (name) => devices.get(name),
    endpointsOf: (device) => byDevice.get(device) ?? [],
    withMac: (mac) => byMac.get(mac) ?? [],
    at: (address) => byAddress.get(address) ?? [],
    networkAt,
    networkOf: ({ network, address }) =>
      networks.get(network ?? '') ?? (address === undefined ? undefined : networkAt(address)),
    defaults,
    addresses: new Set([
      ...byAddress.keys(),
      ...defaults.map(({ address }) => address),
      ...plan.networks.flatMap(({ gateway }) => gateway ?? []),
    ]),
    withPrefixOf: (macs) => {
      const found = new Set(macs.flatMap(prefixesOf).flatMap((prefix) => byPrefix.get(prefix) ?? []));
      return [...found].sort((a, b) => (order.get(a) ?? 0) - (order.get(b) ?? 0));
    },
  };
}

function defaultsOf({ devices, endpoints }: Plan): DefaultAddress[] {
  return [
    ...devices.flatMap(({ name, defaultAddresses }) =>
      defaultAddresses.map((address) => ({ address, device: name })),
    ),
    ...endpoints.flatMap((endpoint) =>
      endpoint.defaultAddress === undefined
        ? []
        : [{ address: endpoint.defaultAddress, device: endpoint.device, endpoint }],
    ),
  ];
}

/** `aa:bb:cc:dd:ee:ff` -> `aa`, `aa:bb`, ... and itself. */
function prefixesOf(mac: string): string[] {
  const octets = mac.split(':');
  return octets.map((_, end) => octets.slice(0, end + 1).join(':'));
}

function grouped<T>(items: readonly T[], keysOf: (item: T) => readonly string[]): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    for (const key of keysOf(item)) {
      const group = groups.get(key);
      if (group === undefined) groups.set(key, [item]);
      else group.push(item);
    }
  }
  return groups;
}
