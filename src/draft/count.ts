/** What an equipment list needs, against what its networks have. Pure. */

import { usableRange } from '../plan/address.js';
import type { AddressRange, Endpoint } from '../plan/model.js';
import type { Equipment, EquipmentNetwork } from '../plan-file/equipment.js';
import { covered } from '../review/span.js';
import { safeAmount } from '../text/amount.js';
import { spansOf, usableSpan } from './free.js';
import { devicesOf } from './wanted.js';

/** Counts of addresses; past 2^53-1 they are cut there. */
export interface DraftNetwork {
  readonly network: string;
  readonly cidr: string;
  readonly usable: number;
  /** Reserved ranges, the gateway, and factory defaults, which have to stay free. */
  readonly reserved: number;
  /** Had by others on the site already, and not reserved as well. */
  readonly inUse: number;
  readonly free: number;
  readonly needed: number;
  /** Free after this equipment. */
  readonly left: number;
  /** Needed and not there. */
  readonly short: number;
}

export interface DraftDevice {
  readonly device: string;
  readonly needed: number;
  /** By controller; `controller` is empty for what the device has once. */
  readonly controllers: readonly { readonly controller: string; readonly needed: number }[];
  /** Network -> addresses needed in it. */
  readonly networks: Readonly<Record<string, number>>;
}

/** A network with addresses; a Fibre Channel fabric has none. */
export type WithBlock = EquipmentNetwork & { readonly cidr: string };

export function countNetwork(
  { name, cidr }: WithBlock,
  needing: readonly Endpoint[],
  kept: { readonly reserved: readonly AddressRange[]; readonly inUse: readonly AddressRange[] },
): DraftNetwork {
  const usable = usableRange(cidr).count;
  const reserved = covered(usableSpan(cidr), spansOf(kept.reserved));
  const all = covered(usableSpan(cidr), spansOf([...kept.reserved, ...kept.inUse]));
  const given = needing.filter(({ address }) => address !== undefined).length;
  return {
    network: name,
    cidr,
    usable: safeAmount(usable),
    reserved: safeAmount(reserved),
    inUse: safeAmount(all - reserved),
    free: safeAmount(usable - all),
    needed: needing.length,
    left: safeAmount(usable - all - BigInt(given)),
    short: needing.length - given,
  };
}

export function countDevices(equipment: Equipment, needing: ReadonlySet<Endpoint>): DraftDevice[] {
  const byDevice = new Map<string, Endpoint[]>();
  for (const item of equipment.items) for (const device of devicesOf(item)) byDevice.set(device, []);
  for (const endpoint of needing) byDevice.get(endpoint.device)?.push(endpoint);
  return [...byDevice].map(([device, own]) => ({
    device,
    needed: own.length,
    controllers: tally(own.map(({ controller }) => controller ?? '')).map(([controller, needed]) => ({
      controller,
      needed,
    })),
    networks: Object.fromEntries(tally(own.map(({ network }) => network ?? ''))),
  }));
}

function tally(words: readonly string[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1);
  return [...counts];
}
