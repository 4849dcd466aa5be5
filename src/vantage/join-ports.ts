/** What Node lists, joined with what the system's own programs add: MTU, link state, radio, and ports without an address. Pure. */
import { parseCidr } from '../plan/address.js';
import { parseMac } from '../plan/mac.js';
import type { VantageInterface } from '../sighting/types.js';
import type { PortTold } from '../system/types.js';

/** os.networkInterfaces(), as far as it is read. */
export type Listed = Readonly<
  Record<string, readonly { readonly mac: string; readonly cidr: string | null }[] | undefined>
>;

export function joinPorts(listed: Listed, told: readonly PortTold[]): VantageInterface[] {
  const own = fromNode(listed);
  const names = new Set([...told.map((port) => port.name), ...own.map((port) => port.name)]);
  return [...names].map((name) =>
    join(
      name,
      own.find((port) => port.name === name),
      told.find((port) => port.name === name),
    ),
  );
}

function join(name: string, own: VantageInterface | undefined, more: PortTold | undefined): VantageInterface {
  return {
    name,
    mac: more?.mac || own?.mac || '',
    addresses: [...new Set([...(own?.addresses ?? []), ...(more?.addresses ?? [])])],
    ...(more?.mtu === undefined ? {} : { mtu: more.mtu }),
    up: more?.up ?? own?.up ?? false,
    ...(more?.wireless === undefined ? {} : { wireless: more.wireless }),
  };
}

/** Node lists only ports that are up and running and have an address. */
function fromNode(interfaces: Listed): VantageInterface[] {
  return Object.entries(interfaces).map(([name, rows = []]) => ({
    name,
    mac: parseMac(rows[0]?.mac ?? '') ?? '',
    addresses: rows.flatMap((row) => {
      const cidr = parseCidr(row.cidr ?? '');
      return cidr === undefined ? [] : [`${cidr.address}/${cidr.prefixBits}`];
    }),
    up: true,
  }));
}
