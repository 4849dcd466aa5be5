/** One written endpoint, wherever it came from, and its reading by the row schema. */
import type { SourceRef } from '../plan/model.js';
import type { Column } from './columns.js';
import type { Issues } from './issues.js';
import { rowSchema, type WrittenRow } from './schema.js';
import { reportZod } from './zod-issues.js';

export interface RawRow {
  readonly cells: ReadonlyMap<Column, unknown>;
  /** Columns that the model has no place for. */
  readonly extra: readonly (readonly [string, string])[];
  readonly at: SourceRef;
  /** A cell was refused already. */
  readonly broken: boolean;
  readonly atColumn: (column: string) => SourceRef;
}

export interface LocatedRow {
  readonly written: WrittenRow;
  readonly extra: Readonly<Record<string, string>>;
  readonly at: SourceRef;
  readonly atColumn: (column: string) => SourceRef;
}

/** The rows that could be read; every cell that could not is an issue. */
export function readRows(rows: readonly RawRow[], issues: Issues): LocatedRow[] {
  return rows.flatMap((row) => {
    const raw = Object.fromEntries(row.cells);
    // Required cells that are absent are blank cells to the schema, so that it can say what belongs there.
    const input = { ...raw, device: raw.device ?? '', port: raw.port ?? '' };
    const parsed = rowSchema.safeParse(input);
    if (parsed.success && !row.broken) {
      const { at, atColumn } = row;
      return [{ written: parsed.data, extra: Object.fromEntries(row.extra), at, atColumn }];
    }
    if (!parsed.success)
      reportZod(parsed.error, input, ([column]) => row.atColumn(String(column ?? 'device')), issues);
    return [];
  });
}
