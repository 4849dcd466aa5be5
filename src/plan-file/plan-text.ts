/** YAML or JSON text -> the written plan, its rows and their places. */
import { z } from 'zod';
import type { Locate } from './assembly/networks.js';
import { COLUMNS, type Column, columnOf, nearestColumn } from './columns.js';
import type { Issues } from './issues.js';
import { type LocatedRow, type RawRow, readRows } from './row.js';
import { equipmentSchema, planSchema, type WrittenEquipment, type WrittenPlan } from './schema.js';
import { namesSecret, withoutSecrets } from './secret-words.js';
import { formatPath, type Located, readTree, type Tree } from './tree.js';
import { type Path, reportZod } from './zod-issues.js';

export interface PlanText {
  /** Undefined where a key outside the endpoints was refused: the endpoints are still read, for what is wrong with them. */
  readonly written: Omit<WrittenPlan, 'plan' | 'endpoints'> | undefined;
  /** The rows themselves, or the name of the list that holds them. */
  readonly endpoints: { readonly rows: readonly LocatedRow[] } | { readonly list: string };
  readonly locate: Locate;
}

/** Rows are read by their own schema: an unknown column is a note there, an unknown key here is an error. */
const headSchema = planSchema.omit({ endpoints: true });

/** Undefined where nothing of it can be used; errors beside a result are possible, all are in `issues`. */
export function readPlanText(text: string, file: string, issues: Issues): PlanText | undefined {
  const tree = readTree(text, file, issues);
  if (tree === undefined) return undefined;
  const { value, locate } = tree;
  if (!isMap(value)) {
    issues.error(
      'wrong-shape',
      { file },
      { expected: 'a plan: keys with values, the first of them "plan: 1"' },
    );
    return undefined;
  }
  if (value.plan === undefined && value.equipment !== undefined) {
    issues.error(
      'wrong-shape',
      { file },
      { expected: 'a plan; this is an equipment list, which "draft" reads' },
    );
    return undefined;
  }
  const { endpoints, ...head } = value;
  const parsed = headSchema.safeParse(head);
  if (!parsed.success) reportZod(parsed.error, head, locate, issues, allowedKeys(planSchema));
  const read = readEndpoints(endpoints, tree, file, issues);
  if (read === undefined) return undefined;
  const { plan: _format, ...written } = parsed.data ?? {};
  return { written: parsed.success ? written : undefined, endpoints: read, locate };
}

export function readEquipmentText(
  text: string,
  file: string,
  issues: Issues,
): { written: WrittenEquipment; locate: Locate } | undefined {
  const tree = readTree(text, file, issues);
  if (tree === undefined) return undefined;
  if (!isMap(tree.value)) {
    issues.error('wrong-shape', { file }, { expected: 'an equipment list, the first key "equipment: 1"' });
    return undefined;
  }
  if (tree.value.equipment === undefined && tree.value.plan !== undefined) {
    issues.error(
      'wrong-shape',
      { file },
      { expected: 'an equipment list; this is a plan, which "check" reads' },
    );
    return undefined;
  }
  const parsed = equipmentSchema.safeParse(tree.value);
  if (parsed.success) return { written: parsed.data, locate: tree.locate };
  reportZod(parsed.error, tree.value, tree.locate, issues, allowedKeys(equipmentSchema));
  return undefined;
}

function readEndpoints(
  value: Tree,
  tree: Located,
  file: string,
  issues: Issues,
): PlanText['endpoints'] | undefined {
  const at = tree.locate(['endpoints']);
  if (typeof value === 'string' && value.trim() !== '') return { list: value.trim() };
  if (value === undefined || value === '') {
    issues.error(
      'missing-value',
      { file, column: 'endpoints' },
      { expected: 'the key "endpoints": a list, or the name of an address list' },
    );
    return undefined;
  }
  if (!Array.isArray(value)) {
    issues.error('wrong-shape', at, { expected: 'a list of endpoints, or the name of an address list' });
    return undefined;
  }
  if (value.length === 0) issues.error('no-rows', at);
  const said = new Set<string>();
  const raw = value.flatMap((item, index) => inlineRow(item, index, tree, said, issues));
  return { rows: readRows(raw, issues) };
}

/** Keys are matched as headers are: `switch-port`, `switchPort` and `switch port` are one column. */
function inlineRow(item: Tree, index: number, tree: Located, said: Set<string>, issues: Issues): RawRow[] {
  const place = ['endpoints', index];
  const at = tree.locate(place);
  if (!isMap(item)) {
    issues.error('wrong-shape', at, {
      expected: `an endpoint with keys such as ${COLUMNS.slice(0, 6).join(', ')}`,
    });
    return [];
  }
  const cells = new Map<Column, unknown>();
  const keys = new Map<string, string>();
  const extra: [string, string][] = [];
  for (const [key, value] of Object.entries(item)) {
    const column = columnOf(key);
    if (column === undefined) {
      const isSecret = namesSecret(key);
      if (!isSecret)
        extra.push([key, withoutSecrets(typeof value === 'string' ? value : JSON.stringify(value))]);
      if (!said.has(key)) {
        const at = tree.locate([...place, key]);
        if (isSecret) issues.note('secret-left-out', at, { found: key });
        else issues.note('unknown-column', at, { found: key, nearest: nearestColumn(key) });
      }
      said.add(key);
    } else if (cells.has(column)) issues.error('duplicate-key', tree.locate([...place, key]), { found: key });
    else {
      cells.set(column, value);
      keys.set(column, key);
    }
  }
  const atColumn = (column: string) => {
    const key = keys.get(column) ?? column;
    return { ...tree.locate([...place, key]), column: formatPath([...place, key]) };
  };
  return [{ cells, extra, at, broken: false, atColumn }];
}

function isMap(value: Tree): value is { [key: string]: Tree } {
  return typeof value === 'object' && !Array.isArray(value);
}

/** The keys that a schema knows at a path. */
function allowedKeys(schema: z.ZodType): (path: Path) => readonly string[] {
  return (path) => {
    let at: unknown = schema;
    for (const part of path) at = below(unwrap(at), part);
    const here = unwrap(at);
    return here instanceof z.ZodObject ? Object.keys(here.shape) : [];
  };
}

function unwrap(schema: unknown): unknown {
  return schema instanceof z.ZodOptional ? unwrap(schema.unwrap()) : schema;
}

function below(schema: unknown, part: PropertyKey): unknown {
  if (schema instanceof z.ZodArray) return schema.element;
  if (schema instanceof z.ZodRecord) return schema.valueType;
  return schema instanceof z.ZodObject ? schema.shape[String(part)] : undefined;
}
