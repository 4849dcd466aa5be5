import { stringify } from 'csv-stringify/sync';

/** Quoted where RFC 4180 §2 asks for it; the library looks for the whole line end alone. */
const BREAKS = /[\r\n]/;

/** RFC 4180. `quoted`: what shall stand in quotes besides. Whoever shows texts of others guards them against formulas before. */
export function csvText(rows: readonly (readonly string[])[], quoted: RegExp = BREAKS): string {
  return stringify(
    rows.map((row) => [...row]),
    { record_delimiter: '\r\n', quoted_match: [BREAKS, quoted] },
  );
}
