/** What PowerShell's `ConvertTo-Json` writes of `Get-NetRoute`, `Get-NetIPInterface` and `Get-NetAdapter`. The names are the same in every display language. */
import { parseAddress, parseCidr } from '../../plan/address.js';
import { parseMac } from '../../plan/mac.js';
import type { VantageRoute } from '../../sighting/types.js';
import type { PortTold } from '../types.js';

type Json = Readonly<Record<string, unknown>>;

export const WINDOWS_ROUTES =
  'Get-NetRoute | Select-Object DestinationPrefix,NextHop,InterfaceAlias,RouteMetric,InterfaceMetric | ConvertTo-Json -Compress';
export const WINDOWS_INTERFACES =
  'Get-NetIPInterface | Select-Object InterfaceAlias,AddressFamily,NlMtu,@{n="Connected";e={[int]$_.ConnectionState}} | ConvertTo-Json -Compress';
export const WINDOWS_ADAPTERS =
  'Get-NetAdapter | Select-Object Name,MacAddress,InterfaceGuid,@{n="Up";e={[int]$_.MediaConnectionState}},@{n="Medium";e={[int]$_.NdisPhysicalMedium}} | ConvertTo-Json -Compress';
/** Addresses of ports without link stand among the persistent ones. */
export const WINDOWS_ADDRESSES =
  '@(Get-NetIPAddress)+@(Get-NetIPAddress -PolicyStore PersistentStore -ErrorAction SilentlyContinue) | Select-Object IPAddress,PrefixLength,InterfaceAlias | ConvertTo-Json -Compress';

/** Undefined where the text is no JSON. In order of preference: route metric plus interface metric. */
export function parseWindowsRoutes(text: string): VantageRoute[] | undefined {
  return rowsOf(text)
    ?.map((row) => ({ row, metric: numberOf(row.RouteMetric) + numberOf(row.InterfaceMetric) }))
    .sort((a, b) => a.metric - b.metric)
    .flatMap(({ row }) => {
      const cidr = parseCidr(String(row.DestinationPrefix));
      const { InterfaceAlias: name, NextHop: hop } = row;
      if (cidr === undefined || typeof name !== 'string') return [];
      const router = typeof hop === 'string' ? parseAddress(hop.replace(/%.*$/, '')) : undefined;
      // An unspecified next hop means that the destination is on the link itself.
      const gateway = router === '0.0.0.0' || router === '::' ? undefined : router;
      return [
        {
          destination: `${cidr.address}/${cidr.prefixBits}`,
          interface: name,
          ...(gateway === undefined ? {} : { gateway }),
        },
      ];
    });
}

export interface WindowsInterface {
  readonly name: string;
  readonly mtu?: number | undefined;
  readonly connected: boolean;
}

/** One row an interface and family: the smaller MTU of the two, for that is what passes in both. NlMtu of a loopback is 2^32-1. */
export function parseWindowsInterfaces(text: string): WindowsInterface[] | undefined {
  const rows = rowsOf(text);
  if (rows === undefined) return undefined;
  const found = new Map<string, WindowsInterface>();
  for (const row of rows) {
    if (typeof row.InterfaceAlias !== 'string') continue;
    const mtu = numberOf(row.NlMtu);
    const before = found.get(row.InterfaceAlias);
    const known = mtu > 0 && mtu < 0x10000 ? Math.min(mtu, before?.mtu ?? mtu) : before?.mtu;
    found.set(row.InterfaceAlias, {
      name: row.InterfaceAlias,
      ...(known === undefined ? {} : { mtu: known }),
      connected: numberOf(row.Connected) === 1 || before?.connected === true,
    });
  }
  return [...found.values()];
}

export interface WindowsAdapter {
  readonly name: string;
  readonly mac: string;
  readonly up: boolean;
  readonly guid?: string | undefined;
  /** Absent where Windows does not tell what it runs over. */
  readonly wireless?: boolean | undefined;
}

/** NDIS_PHYSICAL_MEDIUM of ntddndis.h (from memory): 1 wireless LAN, 8 wireless WAN, 9 native 802.11, 10 Bluetooth, 12 WiMAX; 14 is 802.3. */
const RADIO = new Set([1, 8, 9, 10, 12]);

export function parseWindowsAdapters(text: string): WindowsAdapter[] | undefined {
  return rowsOf(text)?.flatMap((row) => {
    if (typeof row.Name !== 'string') return [];
    const mac = typeof row.MacAddress === 'string' ? parseMac(row.MacAddress) : undefined;
    const medium = numberOf(row.Medium);
    return [
      {
        name: row.Name,
        mac: mac ?? '',
        up: numberOf(row.Up) === 1,
        ...(typeof row.InterfaceGuid === 'string' ? { guid: row.InterfaceGuid } : {}),
        ...(medium === 0 ? {} : { wireless: RADIO.has(medium) }),
      },
    ];
  });
}

export function parseWindowsAddresses(text: string): { name: string; address: string }[] | undefined {
  return rowsOf(text)?.flatMap((row) => {
    const written = typeof row.IPAddress === 'string' ? row.IPAddress.replace(/%.*$/, '') : '';
    const cidr = parseCidr(`${written}/${numberOf(row.PrefixLength)}`);
    return typeof row.InterfaceAlias !== 'string' || cidr === undefined
      ? []
      : [{ name: row.InterfaceAlias, address: `${cidr.address}/${cidr.prefixBits}` }];
  });
}

export function joinPorts(
  ports: readonly WindowsInterface[],
  adapters: readonly WindowsAdapter[],
  addresses: readonly { readonly name: string; readonly address: string }[],
): PortTold[] {
  return ports.map((port) => {
    const adapter = adapters.find((each) => each.name === port.name);
    const up = port.connected && (adapter?.up ?? true);
    // Those of ports with link are Node's to tell: a persistent address may be out of use there.
    const own = up ? [] : addresses.filter(({ name }) => name === port.name);
    return {
      name: port.name,
      mtu: port.mtu,
      mac: adapter?.mac,
      up,
      wireless: adapter?.wireless,
      addresses: [...new Set(own.map(({ address }) => address))],
    };
  });
}

/** ConvertTo-Json writes one object alone, not in a list, where there is one. */
function rowsOf(text: string): Json[] | undefined {
  const trimmed = text.replace(/^\ufeff/, '').trim();
  if (trimmed === '') return [];
  try {
    const value: unknown = JSON.parse(trimmed);
    const list: readonly unknown[] = Array.isArray(value) ? value : [value];
    return list.filter((row): row is Json => typeof row === 'object' && row !== null);
  } catch {
    return undefined;
  }
}

function numberOf(value: unknown): number {
  return typeof value === 'number' && Number.isFinite(value) ? value : 0;
}
