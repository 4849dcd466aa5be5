/** `netstat -rn` of macOS. Destinations come short: `127`, `192.0.2`, `198.51.100/25`, `default`, `fe80::%en0/64`. */
import { parseAddress, parseCidr } from '../../plan/address.js';
import type { VantageRoute } from '../../sighting/types.js';

export function parseNetstat(text: string): VantageRoute[] {
  let family: 4 | 6 = 4;
  let interfaceColumn = 3;
  const routes: VantageRoute[] = [];
  for (const line of text.split(/\r?\n/)) {
    if (/^Internet6:/.test(line)) family = 6;
    else if (/^Internet:/.test(line)) family = 4;
    const fields = line.trim().split(/\s+/);
    if (fields[0] === 'Destination') {
      interfaceColumn = fields.indexOf('Netif');
      continue;
    }
    const [target = '', gateway = '', flags = ''] = fields;
    const name = fields[interfaceColumn];
    const destination = destinationOf(target, family);
    // R: a reject route; B: a black hole. H with L is the neighbour table in disguise.
    if (destination === undefined || name === undefined || /[RB]/.test(flags) || /L/.test(flags)) continue;
    // I: counts for sockets bound to that port alone, and ours are not (netstat(1): RTF_IFSCOPE). A link-local address names its port.
    if (flags.includes('I') && !destination.startsWith('fe80:')) continue;
    const router = flags.includes('G') ? parseAddress(gateway.replace(/%.*$/, '')) : undefined;
    routes.push({ destination, interface: name, ...(router === undefined ? {} : { gateway: router }) });
  }
  return routes;
}

function destinationOf(text: string, family: 4 | 6): string | undefined {
  if (text === 'default') return family === 4 ? '0.0.0.0/0' : '::/0';
  const [written = '', bits] = text.replace(/%[^/]*/, '').split('/');
  if (family === 6) return canonical(`${written}/${bits ?? '128'}`);
  if (!/^\d{1,3}(\.\d{1,3}){0,3}$/.test(written)) return undefined;
  const octets = written.split('.');
  const full = [...octets, '0', '0', '0'].slice(0, 4).join('.');
  return canonical(`${full}/${bits ?? octets.length * 8}`);
}

function canonical(text: string): string | undefined {
  const cidr = parseCidr(text);
  return cidr === undefined ? undefined : `${cidr.address}/${cidr.prefixBits}`;
}
