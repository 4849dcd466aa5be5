/** What makes an equipment list impossible to turn into an address list, as sentences with their place. */
import type { SourceRef } from '../plan/model.js';
import { formatWhere } from '../plan/where.js';
import type { Equipment } from '../plan-file/equipment.js';
import { cleanText } from '../text/clean.js';
import { rowsWanted, wantedEndpoints } from './wanted.js';

/** A spreadsheet takes a cell that begins so for a formula and shows something else (common practice; OWASP, CSV Injection). */
const FORMULA = /^[=+\-@＝＋－＠]/;

/** `rowLimit`: most rows that an address list may have. Names are compared without case, as a plan compares them. */
export function unsound(equipment: Equipment, rowLimit: number): string[] {
  const rows = rowsWanted(equipment);
  if (rows > rowLimit)
    return [`the equipment has ${rows} ports, and an address list has at most ${rowLimit} rows; split it`];
  return [...formulas(equipment), ...twice(equipment.networks, 'network'), ...endpointsTwice(equipment)];
}

function formulas({ networks, items }: Equipment): string[] {
  const named = [
    ...networks,
    ...items.flatMap(({ name, at, controllers, ports }) => [
      { name, at },
      ...controllers.map((controller) => ({ name: controller, at })),
      ...ports.flatMap((port) => [
        { name: port.name, at: port.at },
        { name: port.group ?? '', at: port.at },
      ]),
    ]),
  ];
  return named
    .filter(({ name }) => FORMULA.test(name))
    .map(({ name, at }) =>
      withPlace(at, `a spreadsheet would take the name "${cleanText(name)}" for a formula`),
    );
}

function twice(things: readonly { readonly name: string; readonly at: SourceRef }[], what: string): string[] {
  const first = new Map<string, SourceRef>();
  return things.flatMap(({ name, at }) => {
    const known = first.get(name.toLowerCase());
    if (known === undefined) {
      first.set(name.toLowerCase(), at);
      return [];
    }
    return [
      withPlace(
        at,
        `the ${what} "${cleanText(name)}" stands here a second time (first in ${formatWhere(known)})`,
      ),
    ];
  });
}

function endpointsTwice(equipment: Equipment): string[] {
  // One device of each item is enough: the others have the same ports.
  const single = { ...equipment, items: equipment.items.map((item) => ({ ...item, count: 1 })) };
  return twice(
    wantedEndpoints(single).map(({ id, at }) => ({ name: id, at })),
    'port',
  );
}

function withPlace(at: SourceRef, what: string): string {
  return `${formatWhere(at)}: ${what}`;
}
