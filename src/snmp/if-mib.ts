/** Interfaces as an agent tells them (IF-MIB, RFC 2863). */
import type { LinkStatus } from '../sighting/types.js';
import type { Column, TableReader } from './columns.js';
import { macValue, numberValue, textValue } from './values.js';

const IF_ENTRY = '1.3.6.1.2.1.2.2.1';
const IF_X_ENTRY = '1.3.6.1.2.1.31.1.1.1';

export interface Interface {
  readonly ifIndex: number;
  ifName?: string;
  ifDescr?: string;
  ifAlias?: string;
  ifType?: number;
  mtu?: number;
  mac?: string;
  adminStatus?: LinkStatus;
  operStatus?: LinkStatus;
  speedMbps?: number;
}

/** ifOperStatus by number; ifAdminStatus has the first three. */
const STATUS: readonly (LinkStatus | undefined)[] = [
  undefined,
  'up',
  'down',
  'testing',
  'unknown',
  'dormant',
  'notPresent',
  'lowerLayerDown',
];

/** ifSpeed of 2^32 - 1 means "more than I can say" (RFC 2863, ifSpeed). */
const SATURATED_BPS = 4_294_967_295;

/** Interfaces kept of one device: a chassis full of ports with their VLAN interfaces has fewer (common practice, no source). */
export const INTERFACE_LIMIT = 2048;
/** Characters kept of ifName and ifAlias (RFC 2863, ifAlias: SIZE (0..64)) and of ifDescr, which some agents fill with a model's name. */
const NAME_LIMIT = 64;
const DESCR_LIMIT = 128;

/** By ifIndex, in the agent's order. Columns nobody asks for are not read. */
export async function readInterfaces(
  reader: TableReader,
  options: { readonly alias?: boolean } = {},
): Promise<ReadonlyMap<number, Interface>> {
  const interfaces = new Map<number, Interface>();
  const at = (ifIndex: number | undefined): Interface | undefined => {
    const known = interfaces.get(ifIndex ?? 0);
    if (known !== undefined || interfaces.size >= INTERFACE_LIMIT) return known;
    const fresh = { ifIndex: ifIndex ?? 0 };
    interfaces.set(fresh.ifIndex, fresh);
    return fresh;
  };
  const column = (
    oid: string,
    set: (one: Interface, varbind: Parameters<typeof numberValue>[0]) => void,
  ): Column => ({
    table: 'IF-MIB',
    oid,
    read: ([ifIndex], varbind) => {
      const one = at(ifIndex);
      if (one !== undefined) set(one, varbind);
    },
    maxRows: INTERFACE_LIMIT,
  });

  await reader.columns([
    column(`${IF_ENTRY}.2`, (one, value) => assign(one, 'ifDescr', textValue(value, DESCR_LIMIT))),
    column(`${IF_ENTRY}.3`, (one, value) => assign(one, 'ifType', numberValue(value))),
    column(`${IF_ENTRY}.4`, (one, value) => assign(one, 'mtu', numberValue(value))),
    column(`${IF_ENTRY}.5`, (one, value) => assign(one, 'speedMbps', speedFromBps(numberValue(value)))),
    column(`${IF_ENTRY}.6`, (one, value) => assign(one, 'mac', macValue(value))),
    column(`${IF_ENTRY}.7`, (one, value) => assign(one, 'adminStatus', statusOf(numberValue(value)))),
    column(`${IF_ENTRY}.8`, (one, value) => assign(one, 'operStatus', statusOf(numberValue(value)))),
    column(`${IF_X_ENTRY}.1`, (one, value) => assign(one, 'ifName', textValue(value, NAME_LIMIT))),
    column(`${IF_X_ENTRY}.15`, (one, value) => assign(one, 'speedMbps', positive(numberValue(value)))),
    ...(options.alias === true
      ? [column(`${IF_X_ENTRY}.18`, (one, value) => assign(one, 'ifAlias', textValue(value, NAME_LIMIT)))]
      : []),
  ]);
  return interfaces;
}

function assign<Key extends keyof Interface>(
  one: Interface,
  key: Key,
  value: Interface[Key] | undefined,
): void {
  if (value !== undefined) one[key] = value;
}

function statusOf(value: number | undefined): LinkStatus | undefined {
  return value === undefined ? undefined : STATUS[value];
}

/** Undefined where ifSpeed is 0 (unknown, or no link) or saturated. */
export function speedFromBps(bps: number | undefined): number | undefined {
  if (bps === undefined || bps >= SATURATED_BPS) return undefined;
  return positive(bps / 1_000_000);
}

function positive(value: number | undefined): number | undefined {
  return value !== undefined && value > 0 ? value : undefined;
}
