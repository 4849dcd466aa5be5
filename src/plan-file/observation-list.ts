/** The customer's own list of what is to be looked at: a table with the keys of `observe` as columns. */
import type { PlannedObservation } from '../plan/model.js';
import type { Issues } from './issues.js';
import { readKeyedTable } from './keyed-table.js';
import { observationSchema } from './schema.js';
import type { SheetRow } from './table.js';
import { reportZod } from './zod-issues.js';

const COLUMNS = ['when', 'subject', 'item', 'expect', 'saw', 'by'] as const;

/** What stands in `saw` and `by` is for pens: it is no attestation. */
export function readObservationTable(
  rows: readonly SheetRow[],
  file: string,
  issues: Issues,
): PlannedObservation[] {
  return readKeyedTable(rows, COLUMNS, ['subject', 'item', 'expect'], { file }, issues).flatMap((row) => {
    const { saw: _saw, by: _by, ...input } = Object.fromEntries(row.cells);
    const parsed = observationSchema.safeParse(input);
    if (parsed.success) return [{ ...parsed.data, at: row.at }];
    reportZod(
      parsed.error,
      input,
      ([column]) => row.atColumn(COLUMNS.find((name) => name === column) ?? 'subject'),
      issues,
    );
    return [];
  });
}
