import { parseAddress } from '../../plan/address.js';
import { parseMac } from '../../plan/mac.js';
import { type Decoded, decoded, refuse } from '../../wire/decoded.js';
import { type Neighbour, neighbourState } from '../neighbour.js';
import type { TableRow } from '../types.js';

/** `ip -j neigh` (iproute2): [{"dst","dev","lladdr","state":["STALE"]}]. Rows that are no neighbour are left out. */
export function decodeIpNeighJson(text: string): Decoded<readonly Neighbour[]> {
  if (text.trim() === '') return decoded([]);
  let rows: unknown;
  try {
    rows = JSON.parse(text);
  } catch {
    return refuse('malformed', 0, 'ip -j neigh: not JSON');
  }
  if (!Array.isArray(rows)) return refuse('malformed', 0, 'ip -j neigh: not a list');
  return decoded(rows.flatMap((row: unknown) => jsonRow(row)));
}

function jsonRow(row: unknown): readonly Neighbour[] {
  if (typeof row !== 'object' || row === null) return [];
  const { dst, dev, lladdr, state } = row as Readonly<Record<string, unknown>>;
  const address = typeof dst === 'string' ? parseAddress(dst) : undefined;
  if (address === undefined) return [];
  const names = Array.isArray(state) ? state : [];
  const known = names.flatMap((name: unknown) =>
    typeof name === 'string' ? (neighbourState(name) ?? []) : [],
  )[0];
  return [
    {
      address,
      mac: typeof lladdr === 'string' ? parseMac(lladdr) : undefined,
      interface: typeof dev === 'string' ? dev : undefined,
      state: known ?? 'incomplete',
    },
  ];
}

/** `ip neigh` as text: `192.0.2.7 dev eth0 lladdr 00:00:5e:00:53:07 REACHABLE`, words between in any number. */
export function decodeIpNeighText(text: string): Decoded<readonly Neighbour[]> {
  return decoded(text.split(/\r?\n/).flatMap(textRow));
}

function textRow(line: string): readonly Neighbour[] {
  const words = line.trim().split(/\s+/);
  const address = parseAddress(words[0] ?? '');
  const state = neighbourState(words.at(-1) ?? '');
  if (address === undefined || state === undefined) return [];
  return [{ address, mac: parseMac(after(words, 'lladdr') ?? ''), interface: after(words, 'dev'), state }];
}

function after(words: readonly string[], key: string): string | undefined {
  const at = words.indexOf(key);
  return at < 0 ? undefined : words[at + 1];
}

/** Flags of /proc/net/arp: ATF_COM and ATF_PERM of Linux `if_arp.h`. */
const COMPLETE = 0x02;
const PERMANENT = 0x04;

/** /proc/net/arp (IPv4 alone): address, HW type, flags, MAC, mask, device. It has no word for stale: complete is `held`. */
export function decodeProcNetArp(text: string): Decoded<readonly Neighbour[]> {
  return decoded(
    text.split(/\r?\n/).flatMap((line): readonly Neighbour[] => {
      const [first = '', , flagsText = '', macText = '', , device] = line.trim().split(/\s+/);
      const address = parseAddress(first);
      const flags = Number(flagsText);
      if (address === undefined || !Number.isInteger(flags)) return [];
      if ((flags & COMPLETE) === 0) return [{ address, interface: device, state: 'incomplete' }];
      const state = (flags & PERMANENT) === 0 ? 'held' : 'own-static';
      return [{ address, mac: parseMac(macText), interface: device, state }];
    }),
  );
}

/** Adds `confirmed` of `ip -j -s neigh`: seconds since the kernel had proof. */
export function proofAges(rows: readonly Neighbour[], text: string): TableRow[] {
  const ages = new Map<string, number>();
  const list: unknown = text.trim() === '' ? [] : JSON.parse(text);
  for (const row of Array.isArray(list) ? list : []) {
    const { dst, dev, confirmed } = row as Readonly<Record<string, unknown>>;
    // iproute2 writes addresses in canonical form (inet_ntop), as `rows` has them.
    if (typeof confirmed === 'number') ages.set(`${String(dst)} ${String(dev)}`, confirmed);
  }
  return rows.map((row) => ({ ...row, confirmedAgoS: ages.get(`${row.address} ${row.interface}`) }));
}
