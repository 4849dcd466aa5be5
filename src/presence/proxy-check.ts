/** One question for an address nobody planned, where one MAC claims many: a host with many addresses, or a router that answers for everything? */
import { blockOf, cidrContains, fromNumber, rangeContains, usableRange } from '../plan/address.js';
import type { AddressRange } from '../plan/model.js';
import type { ProxyArpCheck } from '../sighting/types.js';
import { type AddressRecord, macsOf, newRecord } from './record.js';

export interface KnownNetwork {
  readonly name: string;
  readonly cidr: string;
  /** Planned addresses of it, gateway and the laptop's own included. */
  readonly taken: readonly string[];
  readonly reserved?: readonly AddressRange[] | undefined;
}

/** One MAC with the addresses of as many devices is asked about (DESIGN 6). */
const DEVICES = 3;

export async function checkProxies(
  records: readonly AddressRecord[],
  request: {
    readonly deviceOf?: ReadonlyMap<string, string> | undefined;
    readonly networks?: readonly KnownNetwork[] | undefined;
  },
  ask: (records: readonly AddressRecord[]) => Promise<void>,
): Promise<ProxyArpCheck[]> {
  const suspects = (request.networks ?? []).flatMap((network) => {
    const inside = records.filter((record) => cidrContains(network.cidr, record.address));
    return suspectsIn(inside, request.deviceOf ?? new Map()).map((suspect) => ({ ...suspect, network }));
  });
  const asked = new Map<string, AddressRecord>();
  const checks = suspects.flatMap(({ mac, port, network }) => {
    const address = unusedAddress(network);
    if (address === undefined) return [];
    const record = asked.get(`${port} ${address}`) ?? newRecord(address, port);
    asked.set(`${port} ${address}`, record);
    return [{ mac, network: network.name, record }];
  });
  if (asked.size > 0) await ask([...asked.values()]);
  return checks.map(({ mac, network, record }) => ({
    network,
    mac,
    askedAddress: record.address,
    answeredBy: macsOf(record),
  }));
}

function suspectsIn(
  records: readonly AddressRecord[],
  deviceOf: ReadonlyMap<string, string>,
): { mac: string; port: string }[] {
  const devices = new Map<string, { port: string; names: Set<string> }>();
  for (const record of records) {
    const device = deviceOf.get(record.address);
    if (device === undefined || record.ownMac !== undefined) continue;
    for (const mac of macsOf(record)) {
      const known = devices.get(mac) ?? { port: record.port, names: new Set() };
      known.names.add(device);
      devices.set(mac, known);
    }
  }
  return [...devices]
    .filter(([, { names }]) => names.size >= DEVICES)
    .map(([mac, { port }]) => ({ mac, port }));
}

/** From the top of the usable range down: neither planned nor reserved. */
export function unusedAddress(network: KnownNetwork): string | undefined {
  const { family } = blockOf(network.cidr);
  const { first, last } = usableRange(network.cidr);
  const taken = new Set(network.taken);
  const reserved = network.reserved ?? [];
  // Plans are finite: past this many the network is taken up by reserved ranges.
  const lowest = last - 65_536n > first ? last - 65_536n : first;
  for (let value = last; value >= lowest; value -= 1n) {
    const address = fromNumber(value, family);
    if (!taken.has(address) && !reserved.some((range) => rangeContains(range, address))) return address;
  }
  return undefined;
}
