/** Neighbour tables of Windows. `arp -a` speaks the user's language, so only shapes are read there: addresses and dashed MACs. */
import { parseAddress } from '../../plan/address.js';
import { type Decoded, decoded, refuse } from '../../wire/decoded.js';
import {
  isGroupAddress,
  type Neighbour,
  type NeighbourState,
  neighbourState,
  splitZone,
  stationMac,
} from '../neighbour.js';

export const WINDOWS_NEIGHBOURS =
  'Get-NetNeighbor | Select-Object IPAddress,LinkLayerAddress,InterfaceAlias,@{n="State";e={[int]$_.State}} | ConvertTo-Json -Compress';

/** State of MSFT_NetNeighbor (NL_NEIGHBOR_STATE of nldef.h, learn.microsoft.com): the numbers that ConvertTo-Json writes for the names. */
const STATE_NAMES = ['unreachable', 'incomplete', 'probe', 'delay', 'stale', 'reachable', 'permanent'];

/** `Get-NetNeighbor | ConvertTo-Json`: a list, or one bare object where there is one row. Group addresses are left out. */
export function decodeGetNetNeighbor(text: string): Decoded<readonly Neighbour[]> {
  const body = text.replace(/^\ufeff/, '').trim();
  if (body === '') return decoded([]);
  let parsed: unknown;
  try {
    parsed = JSON.parse(body);
  } catch {
    return refuse('malformed', 0, 'Get-NetNeighbor: not JSON');
  }
  if (typeof parsed !== 'object' || parsed === null) {
    return refuse('malformed', 0, 'Get-NetNeighbor: neither an object nor a list');
  }
  const rows: readonly unknown[] = Array.isArray(parsed) ? parsed : [parsed];
  return decoded(rows.flatMap(jsonRow));
}

function jsonRow(row: unknown): readonly Neighbour[] {
  if (typeof row !== 'object' || row === null) return [];
  const fields = row as Readonly<Record<string, unknown>>;
  const address = parseAddress(splitZone(String(fields.IPAddress ?? '')).address);
  if (address === undefined || isGroupAddress(address)) return [];
  const macText = String(fields.LinkLayerAddress ?? '');
  const mac = stationMac(macText);
  if (mac === undefined && /[1-9a-f]/i.test(macText)) return [];
  const alias = fields.InterfaceAlias ?? fields.InterfaceIndex;
  return [
    {
      address,
      mac,
      interface: typeof alias === 'string' || typeof alias === 'number' ? String(alias) : undefined,
      state: windowsState(fields.State) ?? (mac === undefined ? 'incomplete' : 'held'),
    },
  ];
}

function windowsState(state: unknown): NeighbourState | undefined {
  if (typeof state === 'number') return neighbourState(STATE_NAMES[state] ?? '');
  if (typeof state !== 'string') return undefined;
  return neighbourState(/^\d$/.test(state) ? (STATE_NAMES[Number(state)] ?? '') : state);
}

const DOTTED = /(?<![\d.])\d{1,3}(?:\.\d{1,3}){3}(?![\d.])/;
const DASHED_MAC = /(?<![0-9a-f-])[0-9a-f]{2}(?:-[0-9a-f]{2}){5}(?![0-9a-f-])/i;
const INTERFACE_INDEX = /0x([0-9a-f]+)/i;

/**
 * `arp -a` in any display language. A line with an address and `0x7` opens the rows of one interface; a line with an address and
 * a dashed MAC is a row. It shows neither age nor, without words, what is static: every station is `held`.
 */
export function decodeArpWindows(text: string): Decoded<readonly Neighbour[]> {
  const found: Neighbour[] = [];
  let header: Pick<Neighbour, 'interface' | 'interfaceAddress'> = {};
  for (const line of text.split(/\r?\n/)) {
    const address = parseAddress(DOTTED.exec(line)?.[0] ?? '');
    if (address === undefined) continue;
    const macText = DASHED_MAC.exec(line)?.[0];
    const index = INTERFACE_INDEX.exec(line)?.[1];
    if (macText === undefined) {
      if (index !== undefined) {
        header = { interface: String(Number.parseInt(index, 16)), interfaceAddress: address };
      }
      continue;
    }
    const mac = stationMac(macText);
    if (mac !== undefined && !isGroupAddress(address)) found.push({ address, mac, ...header, state: 'held' });
  }
  return decoded(found);
}

const ROW6 = /^\s*([0-9a-f]*:[0-9a-f:]+(?:%\d+)?)\s+([0-9a-f]{2}(?:-[0-9a-f]{2}){5})(?![0-9a-f-])/i;
const HEADING = /^\S.*?\s(\d+)\s?:\s+(\S.*?)\s*$/;

/**
 * `netsh interface ipv6 show neighbors` in any display language (from memory): `Interface 7: Ethernet` opens the rows of one port, and
 * what has an address and a MAC is a row. The state is a word and so not read.
 */
export function decodeNetshNeighbours(text: string): Decoded<readonly Neighbour[]> {
  const found: Neighbour[] = [];
  let port: string | undefined;
  for (const line of text.split(/\r?\n/)) {
    const [, written = '', macText = ''] = ROW6.exec(line) ?? [];
    const address = parseAddress(splitZone(written).address);
    const mac = stationMac(macText);
    if (address === undefined) port = HEADING.exec(line)?.[2] ?? port;
    else if (mac !== undefined && !isGroupAddress(address))
      found.push({ address, mac, interface: port, state: 'held' });
  }
  return decoded(found);
}
