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

/** One MAC with the addresses of as many devices is asked about, or one that is a second claimant at so many addresses (DESIGN 6). */
const DEVICES = 3;
const BESIDE_OTHERS = 2;
/** MACs that are asked about; somebody who claims every address under thousands of them is told by this many. */
const SUSPECTS_LIMIT = 64;

export interface ProxyWatch {
  /** Takes in who claims an address; the question goes out as soon as one MAC has enough of them, beside all others. */
  see(record: AddressRecord): void;
  /** What came of it, once every question is settled. */
  ended(): Promise<ProxyArpCheck[]>;
}

export function watchProxies(
  request: {
    readonly deviceOf?: ReadonlyMap<string, string> | undefined;
    readonly networks?: readonly KnownNetwork[] | undefined;
  },
  ask: (record: AddressRecord) => Promise<void>,
): ProxyWatch {
  const { deviceOf = new Map(), networks = [] } = request;
  const devices = new Map<string, Set<string>>();
  /** Network and MAC -> addresses that it claims beside another. */
  const beside = new Map<string, Set<string>>();
  const suspected = new Set<string>();
  const asked = new Map<string, { readonly record: AddressRecord; readonly settled: Promise<void> }>();
  const suspects: { readonly mac: string; readonly network: string; readonly record: AddressRecord }[] = [];

  const suspect = (mac: string, network: KnownNetwork, port: string): void => {
    const once = `${network.name} ${mac}`;
    if (suspected.has(once) || suspects.length >= SUSPECTS_LIMIT) return;
    suspected.add(once);
    const address = unusedAddress(network);
    if (address === undefined) return;
    const key = `${port} ${address}`;
    let question = asked.get(key);
    if (question === undefined) {
      const record = newRecord(address, port);
      question = { record, settled: ask(record) };
      asked.set(key, question);
    }
    suspects.push({ mac, network: network.name, record: question.record });
  };

  return {
    see: (record) => {
      const device = deviceOf.get(record.address);
      if (device === undefined || record.ownMac !== undefined) return;
      for (const network of networks) {
        if (!cidrContains(network.cidr, record.address)) continue;
        const macs = macsOf(record);
        for (const mac of macs) {
          const key = `${network.name} ${mac}`;
          if (macs.length > 1) {
            const places = beside.get(key) ?? new Set();
            beside.set(key, places.add(record.address));
            if (places.size >= BESIDE_OTHERS) suspect(mac, network, record.port);
          }
          const names = devices.get(key) ?? new Set();
          devices.set(key, names);
          if (names.has(device)) continue;
          names.add(device);
          if (names.size === DEVICES) suspect(mac, network, record.port);
        }
      }
    },
    ended: async () => {
      await Promise.all([...asked.values()].map(({ settled }) => settled));
      return suspects.map(({ mac, network, record }) => ({
        network,
        mac,
        askedAddress: record.address,
        answeredBy: macsOf(record),
      }));
    },
  };
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
