/**
 * What only eyes can prove, in the order of the visit: the usual list for the equipment (common practice, no source), with what the
 * equipment list and the customer add. The words of `expect` are what `attest` compares with.
 */

import { sameName } from '../eyes/text-agrees.js';
import { type Endpoint, type PlannedObservation, type SourceRef, STEPS, type Step } from '../plan/model.js';
import type { Equipment, EquipmentItem } from '../plan-file/equipment.js';
import { list } from '../text/sentence.js';
import { devicesOf } from './wanted.js';

type EyeCheck = readonly [when: Step, subject: string, item: string, expect: string];

/** `added`: the customer's own list; of two checks of the same thing the one that was added counts. */
export function eyesOf(
  equipment: Equipment,
  endpoints: readonly Endpoint[],
  added: readonly PlannedObservation[],
): PlannedObservation[] {
  const byDevice = new Map<string, Endpoint[]>();
  for (const endpoint of endpoints) {
    const own = byDevice.get(endpoint.device);
    if (own === undefined) byDevice.set(endpoint.device, [endpoint]);
    else own.push(endpoint);
  }
  const usual = [
    ...equipment.items.flatMap((item) =>
      devicesOf(item).flatMap((device) =>
        checksOf(item, device, byDevice.get(device) ?? []).map((check) => observation(check, item.at)),
      ),
    ),
    ...checksOfSite(equipment.site.name).map((check) => observation(check, { file: '' })),
  ];
  const own = [...equipment.observe, ...added];
  const all = [...usual.filter((one) => !own.some((other) => isSame(one, other))), ...own];
  const order = (one: PlannedObservation): number =>
    one.when === undefined ? STEPS.length : STEPS.indexOf(one.when);
  // Sorting is stable: within a step the order of the list stays.
  return all.sort((a, b) => order(a) - order(b));
}

function checksOf(
  { feeds, ports, controllers }: EquipmentItem,
  device: string,
  endpoints: readonly Endpoint[],
): EyeCheck[] {
  const optical = ports.some(({ media }) => media === 'fibre' || media === 'fc');
  const supplies = controllers.length > 1 || feeds.length > 1;
  return [
    ['unpacked', device, 'parts against the packing list', 'complete, undamaged'],
    ['racked', device, 'rails and screws', 'rails latched, screws set'],
    feeds.length > 0
      ? ['cabled', device, 'power cords', `one cord into each of feed ${list(feeds)}`]
      : ['cabled', device, 'power cords', supplies ? 'cords into both feeds' : 'cord into its feed'],
    ['cabled', device, 'labels', 'label at both ends of each cable'],
    ...(optical ? [['cabled', device, 'dust caps', 'on each open port, the others kept'] as const] : []),
    ...(feeds.length > 0
      ? feeds.map(
          (feed) => ['powered', device, `lamp of the supply on feed ${feed}`, 'steady green'] as const,
        )
      : [['powered', device, supplies ? 'lamps of both supplies' : 'power lamp', 'steady green'] as const]),
    ...endpoints
      .filter(({ role, virtual }) => role !== 'power' && !virtual)
      .map(({ id }) => ['powered', id, 'link lamp', 'green'] as const),
    ...(ports.some(({ role }) => role === 'management' || role === 'switch')
      ? [['configured', device, 'default login', 'changed'] as const]
      : []),
  ];
}

function checksOfSite(site: string): EyeCheck[] {
  return [
    ['handover', site, 'spare parts', 'handed over'],
    ['handover', site, 'keys of racks and rooms', 'handed over'],
    ['handover', site, 'packing and old parts', 'taken away or handed over'],
  ];
}

function observation([when, subject, item, expect]: EyeCheck, at: SourceRef): PlannedObservation {
  return { subject, item, expect, when, at };
}

function isSame(a: PlannedObservation, b: PlannedObservation): boolean {
  return sameName(a.subject, b.subject) && sameName(a.item, b.item);
}
