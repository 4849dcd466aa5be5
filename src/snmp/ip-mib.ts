/** Which interface carries which address: ipAddressTable (RFC 4293) and the older ipAddrTable. */
import type { Column } from './columns.js';
import { addressFromBytes, numberValue } from './values.js';

/** ipAddressIfIndex, indexed by address type, length and octets. */
const IP_ADDRESS_IF_INDEX = '1.3.6.1.2.1.4.34.1.3';
/** ipAdEntIfIndex, indexed by the four octets. */
const IP_AD_ENT_IF_INDEX = '1.3.6.1.2.1.4.20.1.2';

/** Addresses kept of one interface. */
const ADDRESS_LIMIT = 64;
const ROW_LIMIT = 4096;

/**
 * Addresses by ifIndex, and the columns that fill them. Both tables are asked: there are agents that list only IPv6 in the newer one
 * (common practice, no source).
 */
export function addressColumns(): {
  readonly addresses: ReadonlyMap<number, readonly string[]>;
  readonly columns: readonly Column[];
} {
  const byInterface = new Map<number, string[]>();
  const column = (oid: string, addressFrom: (index: readonly number[]) => string | undefined): Column => ({
    table: 'IP-MIB',
    oid,
    read: (index, varbind) => {
      const [address, ifIndex] = [addressFrom(index), numberValue(varbind)];
      if (address === undefined || ifIndex === undefined) return;
      const known = byInterface.get(ifIndex);
      if (known === undefined) byInterface.set(ifIndex, [address]);
      else if (known.length < ADDRESS_LIMIT && !known.includes(address)) known.push(address);
    },
    maxRows: ROW_LIMIT,
  });
  return {
    addresses: byInterface,
    columns: [column(IP_ADDRESS_IF_INDEX, addressFromIndex), column(IP_AD_ENT_IF_INDEX, addressFromBytes)],
  };
}

/** InetAddressType, length, octets (RFC 4001); the zone of the zoned types comes last and is dropped. */
export function addressFromIndex(index: readonly number[]): string | undefined {
  const [type, length, ...octets] = index;
  if (length !== octets.length) return undefined;
  if (type === 1 || type === 3) return addressFromBytes(octets.slice(0, 4));
  if (type === 2 || type === 4) return addressFromBytes(octets.slice(0, 16));
  return undefined;
}
