import { hostOf, prefixBitsOf } from '../plan/address.js';
import { type Point, pointOf, spanOfCidr, within } from './span.js';

export interface SpecialRange {
  readonly cidr: string;
  /** Fits after "is for". */
  readonly purpose: string;
  readonly source: string;
}

/**
 * Ranges that no device of a site can be planned on: the registry of RFC 6890 §2.2 as far as it forbids or replaces ordinary use.
 * Private (RFC 1918), shared (RFC 6598), unique-local, benchmarking and documentation ranges are ordinary here:
 * equipment is really run, trained on and written about with them.
 */
const RANGES: readonly SpecialRange[] = [
  { cidr: '0.0.0.0/8', purpose: 'hosts that do not know their address yet', source: 'RFC 6890 §2.2.2' },
  { cidr: '127.0.0.0/8', purpose: 'the laptop itself', source: 'RFC 6890 §2.2.2' },
  { cidr: '169.254.0.0/16', purpose: 'addresses that a device gives itself', source: 'RFC 3927 §2.1' },
  { cidr: '192.0.0.0/24', purpose: 'protocols of the IETF', source: 'RFC 6890 §2.2.2' },
  { cidr: '192.88.99.0/24', purpose: '6to4 relays', source: 'RFC 6890 §2.2.2' },
  { cidr: '224.0.0.0/4', purpose: 'multicast', source: 'RFC 1112 §4' },
  { cidr: '255.255.255.255/32', purpose: 'everybody on the link', source: 'RFC 6890 §2.2.2' },
  { cidr: '240.0.0.0/4', purpose: 'nobody yet', source: 'RFC 6890 §2.2.2' },
  { cidr: '::/128', purpose: 'hosts that have no address yet', source: 'RFC 6890 §2.2.3' },
  { cidr: '::1/128', purpose: 'the laptop itself', source: 'RFC 6890 §2.2.3' },
  { cidr: '::ffff:0:0/96', purpose: 'IPv4 addresses inside a program', source: 'RFC 6890 §2.2.3' },
  { cidr: '64:ff9b::/96', purpose: 'translation to IPv4', source: 'RFC 6890 §2.2.3' },
  { cidr: '100::/64', purpose: 'traffic to be thrown away', source: 'RFC 6890 §2.2.3' },
  { cidr: '2001::/32', purpose: 'tunnels through address translation', source: 'RFC 6890 §2.2.3' },
  { cidr: '2001:10::/28', purpose: 'hash identifiers', source: 'RFC 6890 §2.2.3' },
  { cidr: '2002::/16', purpose: '6to4 tunnels', source: 'RFC 6890 §2.2.3' },
  { cidr: 'fe80::/10', purpose: 'one link only, with no meaning beyond it', source: 'RFC 6890 §2.2.3' },
  { cidr: 'ff00::/8', purpose: 'multicast', source: 'RFC 4291 §2.7' },
];

const SPANS = RANGES.map((range) => ({ range, span: spanOfCidr(range.cidr) }));

export function specialRangeOf(point: Point): SpecialRange | undefined {
  return SPANS.find(({ span }) => within(span, point))?.range;
}

/** The whole network lies in one special range. */
export function specialRangeAround(cidr: string): SpecialRange | undefined {
  const range = specialRangeOf(pointOf(hostOf(cidr)));
  return (prefixBitsOf(cidr) ?? 0) >= (prefixBitsOf(range?.cidr) ?? 0) ? range : undefined;
}
