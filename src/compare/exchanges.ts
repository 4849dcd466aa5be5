/** Which devices and controllers were exchanged: by serial number, or by UUID where no result has one. */
import type { EndpointResult, EquipmentResult, Matrix } from '../matrix/matrix.js';
import { equipmentRecord } from '../result/equipment.js';
import { naturalOrder } from '../text/sentence.js';
import { matched } from './matched.js';
import type { Exchange } from './types.js';

interface Part {
  readonly device: string;
  readonly controller: string;
  readonly serials: readonly string[];
  readonly uuids: readonly string[];
}

export function exchanges(before: Matrix, now: Matrix): Exchange[] {
  const [old, fresh] = [partsOf(before), partsOf(now)];
  return matched(old, fresh, nameOf).both.flatMap(([was, is]): Exchange[] => {
    const { device, controller } = is;
    const own = { device, controller };
    const serials = exchange(own, 'serial number', was.serials, is.serials, placesOf(old, 'serials'));
    if (serials !== 'unknown') return serials;
    const uuids = exchange(own, 'UUID', was.uuids, is.uuids, placesOf(old, 'uuids'));
    return uuids === 'unknown' ? [] : uuids;
  });
}

function exchange(
  own: Pick<Exchange, 'device' | 'controller'>,
  mark: Exchange['mark'],
  before: readonly string[],
  now: readonly string[],
  placesBefore: ReadonlyMap<string, string>,
): Exchange[] | 'unknown' {
  if (before.length === 0 || now.length === 0) return 'unknown';
  const gone = before.filter((one) => !now.includes(one));
  const fresh = now.filter((one) => !before.includes(one));
  if (gone.length + fresh.length === 0) return [];
  const whole = gone.length === before.length;
  const from = whole
    ? fresh.map((one) => placesBefore.get(one)).find((place) => place !== undefined)
    : undefined;
  const extent = !whole ? 'part' : from === undefined ? 'whole' : 'traded';
  return [{ ...own, mark, extent, ...(from === undefined ? {} : { from }), before, now }];
}

/** The record leaves out what another device said at these addresses; here just that is the news. */
function partsOf(matrix: Matrix): Part[] {
  const moving = new Set(matrix.plan.model.endpoints.filter(({ virtual }) => virtual).map(({ id }) => id));
  return equipmentRecord(matrix).map(({ device, controller, serials }: EquipmentResult): Part => {
    const told = matrix.endpoints
      .filter((one) => one.device === device && one.controller === controller && !moving.has(one.id))
      .flatMap(({ sightings }: EndpointResult) => sightings.map(({ identity }) => identity));
    return {
      device,
      controller,
      serials: sorted(serials.length > 0 ? serials : told.flatMap(({ snmp }) => snmp?.serials ?? [])),
      uuids: sorted(told.flatMap(({ redfish }) => redfish?.uuid ?? [])),
    };
  });
}

function placesOf(parts: readonly Part[], mark: 'serials' | 'uuids'): ReadonlyMap<string, string> {
  return new Map(parts.flatMap((part) => part[mark].map((value) => [value, nameOf(part)] as const)));
}

function nameOf({ device, controller }: Pick<Part, 'device' | 'controller'>): string {
  return controller === '' ? device : `${device}/${controller}`;
}

function sorted(values: readonly string[]): string[] {
  return [...new Set(values.filter((value) => value !== ''))].sort(naturalOrder);
}
