/** `route print -4` of Windows, in any display language: only shapes are read, as the words around them are translated (from memory). */
import { type Cidr, parseAddress, parseCidr, prefixOfMask } from '../../plan/address.js';
import type { VantageRoute } from '../../sighting/types.js';

const IP = String.raw`((?:\d{1,3}\.){3}\d{1,3})`;
/** Destination, mask, gateway or the words for "on-link", own address, metric. A line without own address is a persistent one, listed again. */
const ROW = new RegExp(String.raw`^\s*${IP}\s+${IP}\s+(\S.*?)\s+${IP}\s+(\d+)\s*$`);

/** `portOf`: own address -> name of the interface that has it; rows of an address without one are left out. In order of preference. */
export function parseRoutePrint(
  text: string,
  portOf: (address: string) => string | undefined,
): VantageRoute[] {
  const rows = text.split(/\r?\n/).flatMap((line) => {
    const [, network = '', mask = '', via = '', own = '', metric = ''] = ROW.exec(line) ?? [];
    const cidr = parseCidr(`${network}/${prefixOfMask(mask) ?? 'none'}`);
    const name = portOf(parseAddress(own) ?? '');
    if (cidr === undefined || name === undefined) return [];
    return [{ route: routeOf(cidr, name, via), metric: Number(metric) }];
  });
  return inOrder(rows);
}

/** ` 7...00 00 5e 00 53 05 ......a description`, in the list of interfaces above the routes. */
const PORT = /^\s*(\d+)\.{3}((?:[0-9a-f]{2} ){5}[0-9a-f]{2})\s?\./i;
/** Interface, metric, destination, then the gateway or the words for "on-link"; those may stand in the next line. */
const ROW6 = /^\s*(\d+)\s+(\d+)\s+([0-9a-f:]*:[0-9a-f:]*\/\d+)(?:\s+(\S.*?))?\s*$/i;

/** `route print -6`. `portOf`: MAC -> name of the interface that has it. In order of preference. */
export function parseRoutePrint6(text: string, portOf: (mac: string) => string | undefined): VantageRoute[] {
  const lines = text.split(/\r?\n/);
  const macs = new Map(
    lines.flatMap((line) => {
      const [, index = '', mac = ''] = PORT.exec(line) ?? [];
      return index === '' ? [] : [[index, mac.replaceAll(' ', ':').toLowerCase()] as const];
    }),
  );
  const rows = lines.flatMap((line, at) => {
    const [, index = '', metric = '', destination = '', via] = ROW6.exec(line) ?? [];
    const name = portOf(macs.get(index) ?? '');
    const cidr = parseCidr(destination);
    if (name === undefined || cidr === undefined) return [];
    return [{ route: routeOf(cidr, name, (via ?? lines[at + 1] ?? '').trim()), metric: Number(metric) }];
  });
  return inOrder(rows);
}

interface Row {
  readonly route: VantageRoute;
  readonly metric: number;
}

/** `via`: an address, or the words of the system's language for "on-link". */
function routeOf({ address, prefixBits }: Cidr, name: string, via: string): VantageRoute {
  const gateway = parseAddress(via);
  return {
    destination: `${address}/${prefixBits}`,
    interface: name,
    ...(gateway === undefined ? {} : { gateway }),
  };
}

function inOrder(rows: readonly Row[]): VantageRoute[] {
  return [...rows].sort((a, b) => a.metric - b.metric).map(({ route }) => route);
}
