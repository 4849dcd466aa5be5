/** `/proc/net/route` and `/proc/net/ipv6_route`, for Linux systems that have no `ip` program. */
import { fromNumber, prefixOfMask } from '../../plan/address.js';
import type { VantageRoute } from '../../sighting/types.js';

/** Route flags of the Linux kernel, include/uapi/linux/route.h. */
const RTF_UP = 0x1;
const RTF_GATEWAY = 0x2;
const RTF_REJECT = 0x200;

/** Columns: Iface Destination Gateway Flags RefCnt Use Metric Mask …; addresses are in host byte order, little-endian here. */
export function parseProcRoute(text: string): VantageRoute[] {
  const rows = text.split('\n').slice(1).flatMap(procRow);
  return rows.sort((a, b) => a.metric - b.metric).map((row) => row.route);
}

function procRow(line: string): { metric: number; route: VantageRoute }[] {
  const [name, destination, gateway, flagText, , , metric, mask] = line.trim().split(/\s+/);
  if (name === undefined || destination === undefined || gateway === undefined || mask === undefined)
    return [];
  const flags = Number.parseInt(flagText ?? '', 16);
  const address = fromLittleEndian(destination);
  const maskBits = prefixOfMask(fromLittleEndian(mask) ?? '');
  if (address === undefined || maskBits === undefined || !usable(flags)) return [];
  const router = (flags & RTF_GATEWAY) === 0 ? undefined : fromLittleEndian(gateway);
  return [
    {
      metric: Number(metric) || 0,
      route: {
        destination: `${address}/${maskBits}`,
        interface: name,
        ...(router === undefined ? {} : { gateway: router }),
      },
    },
  ];
}

/** Columns: destination, its prefix length, source, its length, next hop, metric, references, use, flags, device; all hexadecimal. */
export function parseProcIpv6Route(text: string): VantageRoute[] {
  const rows = text.split('\n').flatMap((line) => {
    const fields = line.trim().split(/\s+/);
    const [destination = '', bits = '', , , hop = '', metric = '', , , flagText = '', name] = fields;
    const flags = Number.parseInt(flagText, 16);
    const prefixBits = Number.parseInt(bits, 16);
    if (name === undefined || !isHex128(destination) || !isHex128(hop) || !usable(flags)) return [];
    const router = (flags & RTF_GATEWAY) === 0 ? undefined : fromNumber(BigInt(`0x${hop}`), 6);
    const route: VantageRoute = {
      destination: `${fromNumber(BigInt(`0x${destination}`), 6)}/${prefixBits}`,
      interface: name,
      ...(router === undefined ? {} : { gateway: router }),
    };
    return prefixBits > 128 ? [] : [{ metric: Number.parseInt(metric, 16), route }];
  });
  return rows.sort((a, b) => a.metric - b.metric).map((row) => row.route);
}

function usable(flags: number): boolean {
  return (flags & RTF_UP) !== 0 && (flags & RTF_REJECT) === 0;
}

function fromLittleEndian(hex: string): string | undefined {
  if (!/^[0-9A-F]{8}$/i.test(hex)) return undefined;
  const octets = hex.match(/../g) ?? [];
  return octets
    .reverse()
    .map((octet) => Number.parseInt(octet, 16))
    .join('.');
}

function isHex128(text: string): boolean {
  return /^[0-9a-f]{32}$/i.test(text);
}
