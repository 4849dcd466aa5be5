import { cidrContains, parseCidr } from './address.js';

export interface SpecialRange {
  readonly cidr: string;
  readonly name: string;
  /** `host`: a device on a site network can have it. `never`: no device on a network can. `doubtful`: can, and hardly means to. */
  readonly use: 'host' | 'never' | 'doubtful';
}

/** Special-purpose blocks (RFC 6890 §2.2.2 and §2.2.3; 3fff::/20 by RFC 9637 §6; multicast by RFC 5771 and RFC 4291 §2.7). */
export const SPECIAL_RANGES: readonly SpecialRange[] = [
  { cidr: '0.0.0.0/8', name: 'this host on this network', use: 'never' },
  { cidr: '10.0.0.0/8', name: 'private use', use: 'host' },
  { cidr: '100.64.0.0/10', name: 'shared address space', use: 'host' },
  { cidr: '127.0.0.0/8', name: 'loopback', use: 'never' },
  { cidr: '169.254.0.0/16', name: 'link-local', use: 'doubtful' },
  { cidr: '172.16.0.0/12', name: 'private use', use: 'host' },
  { cidr: '192.0.0.0/24', name: 'IETF protocol assignments', use: 'doubtful' },
  { cidr: '192.0.0.0/29', name: 'DS-Lite', use: 'doubtful' },
  { cidr: '192.0.2.0/24', name: 'documentation (TEST-NET-1)', use: 'doubtful' },
  { cidr: '192.88.99.0/24', name: '6to4 relay anycast', use: 'doubtful' },
  { cidr: '192.168.0.0/16', name: 'private use', use: 'host' },
  { cidr: '198.18.0.0/15', name: 'benchmarking', use: 'doubtful' },
  { cidr: '198.51.100.0/24', name: 'documentation (TEST-NET-2)', use: 'doubtful' },
  { cidr: '203.0.113.0/24', name: 'documentation (TEST-NET-3)', use: 'doubtful' },
  { cidr: '224.0.0.0/4', name: 'multicast', use: 'never' },
  { cidr: '240.0.0.0/4', name: 'reserved', use: 'never' },
  { cidr: '255.255.255.255/32', name: 'limited broadcast', use: 'never' },
  { cidr: '::/128', name: 'unspecified address', use: 'never' },
  { cidr: '::1/128', name: 'loopback', use: 'never' },
  { cidr: '::ffff:0:0/96', name: 'IPv4-mapped', use: 'never' },
  { cidr: '64:ff9b::/96', name: 'IPv4-IPv6 translation', use: 'doubtful' },
  { cidr: '100::/64', name: 'discard-only', use: 'never' },
  { cidr: '2001::/23', name: 'IETF protocol assignments', use: 'doubtful' },
  { cidr: '2001::/32', name: 'Teredo', use: 'doubtful' },
  { cidr: '2001:2::/48', name: 'benchmarking', use: 'doubtful' },
  { cidr: '2001:10::/28', name: 'ORCHID', use: 'never' },
  { cidr: '2001:db8::/32', name: 'documentation', use: 'doubtful' },
  { cidr: '2002::/16', name: '6to4', use: 'doubtful' },
  { cidr: '3fff::/20', name: 'documentation', use: 'doubtful' },
  { cidr: 'fc00::/7', name: 'unique-local', use: 'host' },
  { cidr: 'fe80::/10', name: 'link-scoped unicast', use: 'doubtful' },
  { cidr: 'ff00::/8', name: 'multicast', use: 'never' },
];

const NARROWEST_FIRST = [...SPECIAL_RANGES].sort((a, b) => bits(b) - bits(a));

/** The narrowest special-purpose block that holds a canonical address; undefined for an ordinary one. */
export function specialRangeOf(address: string): SpecialRange | undefined {
  return NARROWEST_FIRST.find((range) => cidrContains(range.cidr, address));
}

function bits(range: SpecialRange): number {
  return parseCidr(range.cidr)?.prefixBits ?? 0;
}
