/** `netsh interface ipv4 show addresses`: static addresses, of ports without link too. A heading with a quoted name, then addresses and prefixes (from memory). */
import { parseAddress, parseCidr } from '../../plan/address.js';

/** Each language quotes in its own way. */
const NAME = /["«»„“”]\s*([^"«»„“”]+?)\s*["«»„“”]/;
const PREFIX = /(?<![\d.])(\d{1,3}(?:\.\d{1,3}){3})\/(\d{1,2})\b/;
const ADDRESS = /(?<![\d./])(\d{1,3}(?:\.\d{1,3}){3})\s*$/;

/** Port name -> `address/prefix`. */
export function parseNetshAddresses(text: string): Map<string, string[]> {
  const found = new Map<string, string[]>();
  let port: string | undefined;
  let address: string | undefined;
  for (const line of text.split(/\r?\n/)) {
    const heading = /^\S/.test(line) ? NAME.exec(line)?.[1] : undefined;
    if (heading !== undefined) {
      port = heading;
      address = undefined;
      continue;
    }
    const bits = PREFIX.exec(line)?.[2];
    if (bits !== undefined) {
      // The prefix stands under the address that it is of.
      const cidr = address === undefined ? undefined : parseCidr(`${address}/${bits}`);
      if (port !== undefined && cidr !== undefined)
        found.set(port, [...(found.get(port) ?? []), `${cidr.address}/${cidr.prefixBits}`]);
      address = undefined;
      continue;
    }
    address = parseAddress(ADDRESS.exec(line)?.[1] ?? '') ?? address;
  }
  return found;
}
