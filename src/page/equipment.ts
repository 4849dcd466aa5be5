import type { Matrix } from '../matrix/matrix.js';
import { equipmentRecord } from '../result/equipment.js';
import { code, table, text } from './markup.js';

const MACS_SHOWN = 8;

/** Columns in which no device says anything are left out. */
export function equipmentSection(matrix: Matrix): string {
  const records = equipmentRecord(matrix);
  const columns = [
    { head: 'Rack', of: (one) => text(one.rack, 40) },
    { head: 'Units', of: (one) => text(one.units, 20) },
    { head: 'Serial numbers', of: (one) => one.serials.map((serial) => text(serial, 60)).join(', ') },
    { head: 'Software', of: (one) => text(one.software, 80) },
    { head: 'MACs', of: (one) => many(one.macs) },
    { head: 'Addresses', of: (one) => many(one.addresses) },
  ] satisfies { head: string; of: (one: (typeof records)[number]) => string }[];
  const said = columns.filter(({ of }) => records.some((one) => of(one) !== ''));
  return table(
    'Equipment',
    ['Device', ...said.map(({ head }) => head)],
    records.map((one) => [
      `${text(one.device, 80)}${one.controller === '' ? '' : ` · ${text(one.controller, 40)}`}`,
      ...said.map(({ of }) => of(one)),
    ]),
    'equipment',
  );
}

function many(values: readonly string[]): string {
  const shown = values.slice(0, MACS_SHOWN).map((value) => code(value, 60));
  return values.length > MACS_SHOWN
    ? `${shown.join(' ')} and ${values.length - MACS_SHOWN} more`
    : shown.join(' ');
}
