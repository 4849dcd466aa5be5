/** Two ports of this machine in one network: the system asks by one of them, and what answers may stand on the other. Pure. */
import { blockOf, fromNumber, isLinkLocal, isLoopback, parseCidr } from '../plan/address.js';
import type { Vantage } from '../sighting/types.js';
import { reachOf } from './reach.js';

export interface SharedPrefix {
  /** `address/prefix` of each port, the narrower one first. */
  readonly ports: readonly { readonly name: string; readonly address: string; readonly wireless?: boolean }[];
  /** The port that a question to the addresses of both leaves by. */
  readonly used: string | undefined;
}

/** Pairs of ports with link whose own prefixes overlap; link-local ones (RFC 3927, RFC 4291 §2.5.6) are the same on every port and do not count. */
export function sharedPrefixes(vantage: Vantage): SharedPrefix[] {
  const own = vantage.interfaces
    .filter(({ up }) => up)
    .flatMap((port) =>
      port.addresses.flatMap((text) => {
        const cidr = parseCidr(text);
        const out = cidr === undefined || isLoopback(cidr.address) || isLinkLocal(cidr.address);
        return out ? [] : [{ port, address: text, block: blockOf(text) }];
      }),
    );
  return own.flatMap((one, index) =>
    own.slice(index + 1).flatMap((other) => {
      const apart =
        one.port.name === other.port.name ||
        one.block.family !== other.block.family ||
        one.block.last < other.block.first ||
        other.block.last < one.block.first;
      if (apart) return [];
      const [narrow, wide] = one.block.prefixBits >= other.block.prefixBits ? [one, other] : [other, one];
      return [
        {
          ports: [narrow, wide].map(({ port, address }) => ({
            name: port.name,
            address,
            ...(port.wireless === undefined ? {} : { wireless: port.wireless }),
          })),
          used: reachOf(vantage, someOther(narrow.block, vantage)).interface,
        },
      ];
    }),
  );
}

/** An address of the block that is none of this machine's own. */
function someOther({ first, last, family }: ReturnType<typeof blockOf>, vantage: Vantage): string {
  const own = new Set(
    vantage.interfaces.flatMap(({ addresses }) => addresses.map((text) => parseCidr(text)?.address)),
  );
  for (let value = first; value <= last; value += 1n) {
    const address = fromNumber(value, family);
    if (!own.has(address)) return address;
  }
  return fromNumber(first, family);
}
