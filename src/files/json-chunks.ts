/** JSON text in parts, as `JSON.stringify(value, null, 1)` writes it whole: a large result is never in memory as one text. Pure. */

/** Levels taken apart: the result, its lists, what one vantage saw, and the lists in that. */
const LEVELS = 4;
/** The first levels are taken apart always, those below where they hold much: each call of the writer costs. Values, a long text as several. */
const ALWAYS = 2;
const MUCH = 4096;
const TEXT_AS_ONE = 64;
/** Small values are joined, so that a part is worth writing. Characters. */
const PART = 1 << 16;

export function* jsonChunks(value: unknown): Generator<string> {
  let pending = '';
  for (const piece of pieces(value, 0, '')) {
    pending += piece;
    if (pending.length < PART) continue;
    yield pending;
    pending = '';
  }
  yield `${pending}\n`;
}

function* pieces(value: unknown, level: number, indent: string): Generator<string> {
  const isSmall = level >= LEVELS || (level >= ALWAYS && left(value, MUCH) > 0);
  if (isSmall || typeof value !== 'object' || value === null || 'toJSON' in value) {
    yield whole(value, indent);
    return;
  }
  const isList = Array.isArray(value);
  const entries: [string, unknown][] = isList
    ? value.map((item): [string, unknown] => ['', item === undefined ? null : item])
    : Object.entries(value).filter(([, item]) => item !== undefined && typeof item !== 'function');
  if (entries.length === 0) {
    yield isList ? '[]' : '{}';
    return;
  }
  const inner = `${indent} `;
  let lead = isList ? '[\n' : '{\n';
  for (const [key, item] of entries) {
    yield isList ? `${lead}${inner}` : `${lead}${inner}${JSON.stringify(key)}: `;
    yield* pieces(item, level + 1, inner);
    lead = ',\n';
  }
  yield isList ? `\n${indent}]` : `\n${indent}}`;
}

/** What is left of `much` when this value is counted; counting ends where nothing is. */
function left(value: unknown, much: number): number {
  if (typeof value === 'string') return much - 1 - Math.floor(value.length / TEXT_AS_ONE);
  let rest = much - 1;
  if (typeof value !== 'object' || value === null) return rest;
  for (const item of Object.values(value)) {
    rest = left(item, rest);
    if (rest <= 0) break;
  }
  return rest;
}

function whole(value: unknown, indent: string): string {
  return (JSON.stringify(value, null, 1) ?? 'null').replaceAll('\n', `\n${indent}`);
}
