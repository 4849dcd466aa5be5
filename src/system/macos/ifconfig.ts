/** `ifconfig -a`, with or without `-v`, of macOS and the BSDs: an unindented line a port, indented lines of what it has. */
import { fromNumber, parseCidr, prefixOfMask } from '../../plan/address.js';
import { parseMac } from '../../plan/mac.js';
import type { PortTold } from '../types.js';

export function parseIfconfig(text: string): PortTold[] {
  return text.split(/\r?\n(?=\S)/).flatMap((block) => {
    const head = /^([^\s:]+):\s+flags=[0-9a-fx]+<([^>]*)>(.*)/.exec(block);
    if (head === null) return [];
    const [, name = '', flagText = '', rest = ''] = head;
    const mtu = /\bmtu (\d+)/.exec(rest)?.[1];
    // With -v (from memory): `type: Wi-Fi`, `type: Ethernet`.
    const type = /^\s+type: (.+)$/m.exec(block)?.[1]?.trim();
    const flags = flagText.split(',');
    const ether = /^\s+(?:ether|lladdr) ([0-9a-f:]+)/m.exec(block)?.[1];
    const status = /^\s+status: (.+)$/m.exec(block)?.[1]?.trim();
    const carrier = status === undefined || status === 'active' || status === 'associated';
    return [
      {
        name,
        mac: (ether === undefined ? undefined : parseMac(ether)) ?? '',
        addresses: [...ipv4Of(block), ...ipv6Of(block)],
        ...(mtu === undefined ? {} : { mtu: Number(mtu) }),
        up: flags.includes('UP') && flags.includes('RUNNING') && carrier,
        ...(type === undefined ? {} : { wireless: /^wi-?fi$/i.test(type) }),
      },
    ];
  });
}

function ipv4Of(block: string): string[] {
  const rows = block.matchAll(/^\s+inet ([\d.]+)(?: --> [\d.]+)? netmask (0x[0-9a-f]{8})/gm);
  return [...rows].flatMap(([, address, mask]) => {
    const bits = prefixOfMask(fromNumber(BigInt(mask ?? '0'), 4));
    const cidr = bits === undefined ? undefined : parseCidr(`${address}/${bits}`);
    return cidr === undefined ? [] : [`${cidr.address}/${cidr.prefixBits}`];
  });
}

function ipv6Of(block: string): string[] {
  const rows = block.matchAll(/^\s+inet6 ([0-9a-f:]+)(?:%\S+)?(?: --> \S+)? prefixlen (\d+)/gm);
  return [...rows].flatMap(([, address, bits]) => {
    const cidr = parseCidr(`${address}/${bits}`);
    return cidr === undefined ? [] : [`${cidr.address}/${cidr.prefixBits}`];
  });
}
