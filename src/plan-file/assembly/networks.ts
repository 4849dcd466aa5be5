/** Networks as written, or as the address list's prefixes imply them. */
import { blockOf, canonicalCidr, cidrContains, familyOf, fromNumber, parseCidr } from '../../plan/address.js';
import type { AddressRange, Network, SourceRef } from '../../plan/model.js';
import type { Issues } from '../issues.js';
import type { LocatedRow } from '../row.js';
import type { WrittenNetwork } from '../schema.js';

export type Locate = (path: readonly PropertyKey[]) => SourceRef;

export function listedNetworks(
  written: readonly WrittenNetwork[],
  locate: Locate,
  issues: Issues,
): Network[] {
  const seen = new Map<string, number>();
  return written.flatMap((network, index) => {
    const at = locate(['networks', index]);
    const first = seen.get(network.name);
    if (first !== undefined) {
      issues.error('duplicate-name', at, { found: network.name, expected: `networks[${first}]` });
      return [];
    }
    seen.set(network.name, index);
    return [
      {
        name: network.name,
        cidr:
          network.cidr === undefined
            ? undefined
            : networkCidr(network.cidr, locate(['networks', index, 'cidr']), issues),
        gateway: network.gateway,
        vlan: network.vlan,
        routed: network.routed ?? false,
        mtu: network.mtu,
        reserved: (network.reserved ?? []).map(asRange),
        inUse: (network['in-use'] ?? []).map(asRange),
        inferred: false,
        at,
      },
    ];
  });
}

/** A block as its first and last address. */
function asRange(range: AddressRange | string): AddressRange {
  if (typeof range !== 'string') return range;
  const block = blockOf(range);
  return { first: fromNumber(block.first, block.family), last: fromNumber(block.last, block.family) };
}

/** `192.0.2.1/24` names one network all the same, which is said. */
function networkCidr(cidr: string, at: SourceRef, issues: Issues): string {
  const canonical = canonicalCidr(cidr);
  if (parseCidr(canonical)?.address !== parseCidr(cidr)?.address)
    issues.note('network-host-bits', at, { found: cidr, expected: canonical });
  return canonical;
}

/**
 * Where the plan lists no networks, the rows name them: the block that most rows of one network name (and address family) imply is
 * that network; a row that disagrees is a finding of the review, not a second network. Rows without a network name make a network
 * named by its block, unless a named one contains them.
 */
export function inferNetworks(rows: readonly LocatedRow[], issues: Issues): Network[] {
  const named = new Map<string, LocatedRow[]>();
  for (const row of rows) {
    const { network } = row.written;
    if (network !== undefined) named.set(network, [...(named.get(network) ?? []), row]);
  }
  const networks: Network[] = [];
  for (const [name, members] of named) networks.push(...networksOf(name, members, issues));
  for (const row of rows.filter((one) => one.written.network === undefined)) {
    const cidr = impliedCidr(row);
    if (cidr === undefined) continue;
    const address = row.written.address?.address ?? '';
    const known = networks.some(
      (network) => network.cidr !== undefined && cidrContains(network.cidr, address),
    );
    if (!known) networks.push(inferred(cidr, cidr, row.at));
  }
  return networks;
}

function networksOf(name: string, rows: readonly LocatedRow[], issues: Issues): Network[] {
  const [first] = rows;
  if (first === undefined) return [];
  const blocks = ([4, 6] as const).flatMap((family) => {
    const cidrs = rows.map(impliedCidr).filter((cidr) => cidr !== undefined && familyOf(cidr) === family);
    const most = mostFrequent(cidrs.filter((cidr) => cidr !== undefined));
    return most === undefined ? [] : [most];
  });
  const [main, second] = blocks;
  if (main === undefined) {
    const addressed = rows.find((row) => row.written.address !== undefined);
    if (addressed !== undefined) {
      const expected = `${addressed.written.address?.address}/${addressed.written.address?.address.includes(':') ? 64 : 24}`;
      issues.note('network-without-prefix', addressed.atColumn('address'), { found: name, expected });
    }
    return [inferred(name, undefined, first.at)];
  }
  const both = [inferred(name, main, first.at)];
  // Two families under one name are two networks: each has its own block and its own reach.
  return second === undefined ? both : [...both, inferred(second, second, first.at)];
}

function impliedCidr(row: LocatedRow): string | undefined {
  const { address } = row.written;
  return address?.prefixBits === undefined
    ? undefined
    : canonicalCidr(`${address.address}/${address.prefixBits}`);
}

function inferred(name: string, cidr: string | undefined, at: SourceRef): Network {
  return { name, cidr, routed: false, reserved: [], inUse: [], inferred: true, at };
}

function mostFrequent(values: readonly string[]): string | undefined {
  const counts = new Map<string, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].reduce<[string, number] | undefined>(
    (a, b) => (a === undefined || b[1] > a[1] ? b : a),
    undefined,
  )?.[0];
}
