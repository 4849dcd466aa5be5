import { type Finding, finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import {
  citing,
  deviceAndController,
  groupBy,
  type PlanView,
  rowsOf,
  sortedUnique,
  unique,
} from './plan-view.js';

/** A device that leaves the factory with an address, as far as the plan says. */
interface Owner {
  readonly address: string;
  /** Device, or `device/controller` where a row says it of one controller. */
  readonly name: string;
  readonly device: string;
  /** Networks that it will be plugged into with the port that has the default; empty = not known. */
  readonly networks: readonly string[];
  /** Rows that are the owner's own. */
  readonly own: ReadonlySet<string>;
  readonly row: { readonly name: string; readonly value: string; readonly at: Endpoint['at'] };
}

export function defaultAddressFindings(view: PlanView): Finding[] {
  return [...groupBy(ownersOf(view), (owner) => owner.address)].flatMap(([address, owners]) => [
    ...shared(address, owners),
    ...inNetwork(view, address, owners),
  ]);
}

function ownersOf(view: PlanView): Owner[] {
  const owners: Owner[] = [];
  for (const rows of groupBy(view.plan.endpoints, (endpoint) =>
    endpoint.defaultAddress === undefined
      ? undefined
      : `${deviceAndController(endpoint)} ${endpoint.defaultAddress}`,
  ).values()) {
    const [first] = rows;
    if (first?.defaultAddress === undefined) continue;
    owners.push({
      address: first.defaultAddress,
      name: deviceAndController(first),
      device: first.device,
      networks: networksOf(rows),
      own: new Set(rows.map((row) => row.id)),
      row: { name: first.id, value: `default ${first.defaultAddress}`, at: first.at },
    });
  }
  for (const device of view.plan.devices) {
    const rows = view.endpointsOf(device.name);
    const management = rows.filter((row) => row.role === 'management');
    for (const address of unique(device.defaultAddresses)) {
      // Rows say it more exactly than the device does.
      if (rows.some((row) => row.defaultAddress === address)) continue;
      owners.push({
        address,
        name: device.name,
        device: device.name,
        networks: networksOf(management.length > 0 ? management : rows),
        own: new Set(rows.map((row) => row.id)),
        row: { name: device.name, value: `default ${address}`, at: device.at },
      });
    }
  }
  return owners;
}

function networksOf(rows: readonly Endpoint[]): string[] {
  return unique(rows.flatMap((row) => (row.network === undefined ? [] : [row.network])));
}

/** Devices that meet on one link with one default. One whose network is not known may meet any. */
function shared(address: string, owners: readonly Owner[]): Finding[] {
  const anywhere = owners.filter((owner) => owner.networks.length === 0);
  const known = unique(owners.flatMap((owner) => owner.networks));
  const links = known.length === 0 ? [undefined] : known;
  const seen = new Set<string>();
  return links.flatMap((network) => {
    const here =
      network === undefined
        ? anywhere
        : [...owners.filter((owner) => owner.networks.includes(network)), ...anywhere];
    const names = sortedUnique(here.map((owner) => owner.name));
    if (names.length < 2 || seen.has(names.join('\n'))) return [];
    seen.add(names.join('\n'));
    return [
      finding(
        'default-address-shared',
        address,
        { address, owners: names, network },
        { evidence: rowsOf(here.map((owner) => owner.row)), about: here.flatMap((owner) => [...owner.own]) },
      ),
    ];
  });
}

function inNetwork(view: PlanView, address: string, owners: readonly Owner[]): Finding[] {
  const network = view.networkAt(address);
  const gatewayOf = view.networks.find((one) => one.gateway === address);
  const holders = view.addressed.filter(
    (endpoint) => endpoint.address === address && owners.some((owner) => !owner.own.has(endpoint.id)),
  );
  if (network === undefined && gatewayOf === undefined && holders.length === 0) return [];
  const kind = holders.length > 0 ? 'planned' : gatewayOf !== undefined ? 'gateway' : 'free';
  const clashing =
    kind === 'planned'
      ? owners.filter((owner) => holders.some((endpoint) => !owner.own.has(endpoint.id)))
      : owners;
  // Every owner keeps its default as its planned address: nothing clashes and nothing has to stay free.
  if (kind === 'free' && owners.every((owner) => keepsIt(view, owner))) return [];
  return [
    finding(
      'default-address-in-network',
      address,
      {
        address,
        owners: sortedUnique(clashing.map((owner) => owner.name)),
        network: (gatewayOf ?? network)?.name,
        holders: sortedUnique(holders.map((endpoint) => endpoint.id)),
        kind,
      },
      {
        ...citing(
          holders,
          undefined,
          clashing.map((owner) => owner.row),
        ),
        ...(kind === 'free' ? {} : { severity: 'stop' as const }),
      },
    ),
  ];
}

function keepsIt(view: PlanView, owner: Owner): boolean {
  return view.addressed.some((endpoint) => endpoint.address === owner.address && owner.own.has(endpoint.id));
}
