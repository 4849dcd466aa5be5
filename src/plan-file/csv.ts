/** CSV text (RFC 4180; comma, semicolon or tab) -> rows as a spreadsheet counts them. */
import { CsvError, parse } from 'csv-parse/sync';
import type { Issues } from './issues.js';
import { headerScore, ROW_LIMIT, type SheetRow } from './table.js';

const DELIMITERS = [',', ';', '\t'] as const;
/** Characters of one row: far beyond any list, and quickly parsed. */
const LONGEST_ROW = 100_000;
const TOO_LONG = `a row is longer than ${LONGEST_ROW} characters`;
/** Columns of one row: ten times what the longest header has. */
const COLUMN_LIMIT = 256;
/** Rows looked at when guessing the delimiter. */
const SAMPLE_ROWS = 60;

/** Undefined where the text is no CSV; what is wrong then stands in `issues`. */
export function readCsv(text: string, file: string, issues: Issues): SheetRow[] | undefined {
  const long = longLine(text);
  if (long !== undefined) {
    issues.error('csv-syntax', { file, line: long }, { expected: TOO_LONG });
    return undefined;
  }
  const delimiter = likelyDelimiter(text);
  try {
    return parseRows(text, delimiter, ROW_LIMIT + 200);
  } catch (error) {
    if (error instanceof TooWide) {
      issues.error(
        'too-many-columns',
        { file, line: error.line },
        { found: String(error.columns), expected: `at most ${COLUMN_LIMIT}` },
      );
      return undefined;
    }
    if (!(error instanceof CsvError)) throw error;
    const line = firstBadLine(error, text, delimiter);
    issues.error('csv-syntax', line === undefined ? { file } : { file, line }, { expected: explain(error) });
    return undefined;
  }
}

/** A row of nothing but commas would become a million cells. */
class TooWide extends Error {
  constructor(
    readonly columns: number,
    readonly line: number,
  ) {
    super('too many columns');
  }
}

interface Parsed {
  readonly record: string[];
  readonly info: { readonly lines: number };
}

function parseRows(text: string, delimiter: string, to: number): SheetRow[] {
  const options = {
    delimiter,
    bom: true,
    info: true,
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: false,
    record_delimiter: ['\r\n', '\n', '\r'],
    max_record_size: LONGEST_ROW,
    // With `info` the library hands over what its types say it does not.
    on_record: (given: string[]) => {
      const { record, info } = given as unknown as Parsed;
      if (record.length > COLUMN_LIMIT) throw new TooWide(record.length, info.lines);
      return given;
    },
    to,
  };
  const parsed = parse(text, options) as unknown as readonly Parsed[];
  return parsed.map(({ record, info }, index) => ({
    row: index + 1,
    line: info.lines,
    cells: record.map((value) => ({ text: value })),
  }));
}

/** Number of the first line that no row has, found without parsing. */
function longLine(text: string): number | undefined {
  let line = 1;
  let from = 0;
  for (const { index } of text.matchAll(/\r\n|\n|\r/g)) {
    if (index - from > LONGEST_ROW) return line;
    from = index;
    line += 1;
  }
  return text.length - from > LONGEST_ROW ? line : undefined;
}

/** The delimiter under which some row looks most like a header; by count where none does. */
function likelyDelimiter(text: string): string {
  const scored = DELIMITERS.map((delimiter) => ({ delimiter, score: bestScore(text, delimiter) }));
  scored.sort((a, b) => b.score - a.score);
  const [first] = scored;
  if (first !== undefined && first.score > 0) return first.delimiter;
  const sample = text.slice(0, 10_000);
  const count = (delimiter: string) => sample.split(delimiter).length;
  return [...DELIMITERS].sort((a, b) => count(b) - count(a))[0] ?? ',';
}

function bestScore(text: string, delimiter: string): number {
  try {
    return Math.max(0, ...parseRows(text, delimiter, SAMPLE_ROWS).map(headerScore));
  } catch {
    return 0;
  }
}

/** The parser notices an open quotation mark at the end of the text; the row that opens it is the one after the last good one. */
function firstBadLine(error: CsvError, text: string, delimiter: string): number | undefined {
  const good: unknown = error.records;
  if (typeof good !== 'number') return undefined;
  return good === 0 ? 1 : (parseRows(text, delimiter, good).at(-1)?.line ?? 0) + 1;
}

function explain(error: CsvError): string {
  switch (error.code) {
    case 'CSV_QUOTE_NOT_CLOSED':
      return 'a quotation mark opens a field and none closes it';
    case 'CSV_MAX_RECORD_SIZE':
      return TOO_LONG;
    default:
      return 'the quotation marks do not fit together';
  }
}
