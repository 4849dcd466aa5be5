/** Output of iproute2 with `-j`: `ip -j addr`, `ip -j route`, `ip -j -6 route`. */
import { parseCidr } from '../../plan/address.js';
import { parseMac } from '../../plan/mac.js';
import type { VantageInterface, VantageRoute } from '../../sighting/types.js';

type Json = Readonly<Record<string, unknown>>;

/** Undefined where the text is not what `ip -j addr` writes. */
export function parseIpAddr(text: string): VantageInterface[] | undefined {
  return rowsOf(text)?.flatMap((row) => {
    const name = row.ifname;
    if (typeof name !== 'string') return [];
    const flags = listOf(row.flags);
    const addresses = listOf(row.addr_info).flatMap((info) => {
      const { local, prefixlen } = asJson(info);
      const cidr = parseCidr(`${String(local)}/${String(prefixlen)}`);
      return cidr === undefined ? [] : [`${cidr.address}/${cidr.prefixBits}`];
    });
    const mac = typeof row.address === 'string' ? parseMac(row.address) : undefined;
    return [
      {
        name,
        mac: mac ?? '',
        addresses,
        ...(typeof row.mtu === 'number' ? { mtu: row.mtu } : {}),
        // LOWER_UP is the carrier: a cable with something alive at its other end.
        up: flags.includes('UP') && flags.includes('LOWER_UP'),
      },
    ];
  });
}

/** Routes in the order of preference (lower metric first). Undefined where the text is not what `ip -j route` writes. */
export function parseIpRoute(text: string, family: 4 | 6): VantageRoute[] | undefined {
  const rows = rowsOf(text);
  if (rows === undefined) return undefined;
  return rows
    .filter((row) => row.type === undefined || row.type === 'unicast')
    .sort((a, b) => metricOf(a) - metricOf(b))
    .flatMap((row) => {
      const destination = destinationOf(row.dst, family);
      if (destination === undefined) return [];
      const hops = listOf(row.nexthops).map(asJson);
      return (hops.length > 0 ? hops : [row]).flatMap((hop) => {
        if (typeof hop.dev !== 'string' || listOf(hop.flags).some(isDead)) return [];
        const gateway = gatewayOf(hop);
        return [{ destination, interface: hop.dev, ...(gateway === undefined ? {} : { gateway }) }];
      });
    });
}

function destinationOf(dst: unknown, family: 4 | 6): string | undefined {
  if (dst === 'default') return family === 4 ? '0.0.0.0/0' : '::/0';
  if (typeof dst !== 'string') return undefined;
  const cidr = parseCidr(dst.includes('/') ? dst : `${dst}/${family === 4 ? 32 : 128}`);
  return cidr === undefined ? undefined : `${cidr.address}/${cidr.prefixBits}`;
}

/** An IPv4 route may go by an IPv6 router (RFC 8950): iproute2 writes that as `via`. */
function gatewayOf(hop: Json): string | undefined {
  if (typeof hop.gateway === 'string') return hop.gateway;
  const { host } = asJson(hop.via);
  return typeof host === 'string' ? host : undefined;
}

function isDead(flag: unknown): boolean {
  return flag === 'dead' || flag === 'linkdown';
}

function metricOf(row: Json): number {
  return typeof row.metric === 'number' ? row.metric : 0;
}

function rowsOf(text: string): Json[] | undefined {
  // `ip -j` writes nothing at all, or `[{},…]`, for an empty table.
  if (text.trim() === '') return [];
  try {
    const value: unknown = JSON.parse(text);
    return Array.isArray(value) ? value.map(asJson) : undefined;
  } catch {
    return undefined;
  }
}

function listOf(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}

function asJson(value: unknown): Json {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? { ...value } : {};
}
