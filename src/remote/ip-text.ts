/** `ip addr` as text, where the program writes no JSON (BusyBox, old iproute2). Pure. */
import { parseCidr } from '../plan/address.js';
import { parseMac } from '../plan/mac.js';
import type { PortTold } from '../system/types.js';

/** Ports begin at the margin: `2: eth0@if7: <BROADCAST,UP,LOWER_UP> mtu 1500 ...`; what is theirs stands indented below. */
export function parseIpAddrText(text: string): PortTold[] {
  const ports: { name: string; mac: string; addresses: string[]; mtu?: number; up: boolean }[] = [];
  for (const line of text.split(/\r?\n/)) {
    const [, name, flags = '', rest = ''] = /^\d+: ([^:@\s]+)(?:@[^:]*)?: <([^>]*)>(.*)$/.exec(line) ?? [];
    const words = line.trim().split(/\s+/);
    const port = ports.at(-1);
    if (name !== undefined) {
      const mtu = Number(/\bmtu (\d+)/.exec(rest)?.[1]);
      const set = flags.split(',');
      ports.push({
        name,
        mac: '',
        addresses: [],
        ...(Number.isInteger(mtu) ? { mtu } : {}),
        up: set.includes('UP') && set.includes('LOWER_UP'),
      });
    } else if (port !== undefined && words[0]?.startsWith('link/')) port.mac = parseMac(words[1] ?? '') ?? '';
    else if (port !== undefined && (words[0] === 'inet' || words[0] === 'inet6')) {
      const cidr = parseCidr(words[1] ?? '');
      if (cidr !== undefined) port.addresses.push(`${cidr.address}/${cidr.prefixBits}`);
    }
  }
  return ports;
}
