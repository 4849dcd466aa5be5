/** Which ports are bundled: ifStackTable (RFC 2863) under an ieee8023adLag interface, or the aggregation MIB itself. */
import type { TableReader } from './columns.js';
import { INTERFACE_LIMIT, type Interface } from './if-mib.js';
import { numberValue } from './values.js';

/** ifStackStatus, indexed by the higher and the lower layer. */
const IF_STACK_STATUS = '1.3.6.1.2.1.31.1.2.1.3';
/** dot3adAggPortAttachedAggID, indexed by the port's ifIndex; 0 = none (IEEE8023-LAG-MIB, from memory). */
const AGG_PORT_ATTACHED = '1.2.840.10006.300.43.1.2.1.1.13';
/** IANAifType-MIB: ieee8023adLag. */
const LAG_TYPE = 161;

/** Each interface stands in it at least twice: under nothing and above nothing (RFC 2863, ifStackTable). */
const STACK_LIMIT = 4 * INTERFACE_LIMIT;

/** Member ifIndex -> ifIndex of its bundle. */
export async function readAggregates(
  reader: TableReader,
  interfaces: ReadonlyMap<number, Interface>,
): Promise<ReadonlyMap<number, number>> {
  const bundles = new Map<number, number>();
  const isBundle = (ifIndex: number | undefined): ifIndex is number =>
    ifIndex !== undefined && interfaces.get(ifIndex)?.ifType === LAG_TYPE;
  await reader.column(
    'IF-MIB stack',
    IF_STACK_STATUS,
    ([higher, lower]) => {
      if (lower !== undefined && lower !== 0 && isBundle(higher)) bundles.set(lower, higher);
    },
    STACK_LIMIT,
  );
  await reader.column(
    'LAG-MIB',
    AGG_PORT_ATTACHED,
    ([port], varbind) => {
      const bundle = numberValue(varbind);
      if (port !== undefined && bundle !== port && isBundle(bundle) && !bundles.has(port))
        bundles.set(port, bundle);
    },
    INTERFACE_LIMIT,
  );
  return bundles;
}
