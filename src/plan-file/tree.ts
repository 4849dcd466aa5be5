/** YAML or JSON text -> plain values with every scalar as text, and the line of each. JSON is read by the same parser. */
import {
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  parseDocument,
  Scalar,
  type YAMLMap,
  type YAMLSeq,
} from 'yaml';
import type { SourceRef } from '../plan/model.js';
import type { Issues } from './issues.js';
import { nestsTooDeep } from './nesting.js';
import type { Path } from './zod-issues.js';

export type Tree = string | undefined | Tree[] | { [key: string]: Tree };

export interface Located {
  readonly value: Tree;
  /** The place of a path, or of the nearest thing around it that is there. */
  readonly locate: (path: Path) => SourceRef;
}

/** Values after aliases are expanded: a plan of twenty thousand endpoints with twenty columns stays below. */
const VALUE_LIMIT = 500_000;
/** Anchors that are used again count their whole subtree; this many values may come from aliases. */
const ALIASED_LIMIT = 50_000;
const DEPTH_LIMIT = 30;

/** Undefined where the text cannot be read; `issues` says why. */
export function readTree(text: string, file: string, issues: Issues): Located | undefined {
  const lines = new LineCounter();
  const line = (offset: number | undefined): SourceRef =>
    offset === undefined ? { file } : { file, line: lines.linePos(offset).line };
  const document = nestsTooDeep(text) ? undefined : parse(text, lines);
  if (document === undefined) {
    issues.error('nested-too-deep', { file });
    return undefined;
  }
  if (document.errors.length > 0) {
    reportSyntax(document, line, issues);
    return undefined;
  }
  const walk = new Walk(document);
  try {
    const value = walk.tree(document.contents, '', 0, false);
    for (const offset of walk.doubled) issues.error('duplicate-key', line(offset));
    if (walk.doubled.length > 0) return undefined;
    const locate = (path: Path): SourceRef => {
      const column = formatPath(path);
      return { ...line(walk.offsetNear(path)), ...(column === '' ? {} : { column }) };
    };
    return { value, locate };
  } catch (error) {
    if (!(error instanceof TooMuch)) throw error;
    issues.error(error.reason, line(error.offset));
    return undefined;
  }
}

/** `networks[0].cidr`. */
export function formatPath(path: Path): string {
  return path.reduce<string>((text, part) => {
    if (typeof part === 'number') return `${text}[${part}]`;
    return text === '' ? String(part) : `${text}.${String(part)}`;
  }, '');
}

type Parsed = Document.Parsed;

/** Undefined where the parser ran out of stack. */
function parse(text: string, lineCounter: LineCounter): Parsed | undefined {
  try {
    // The failsafe schema has strings, lists and maps only: no number loses its zeros, no `no` becomes false.
    // Keys that are there twice are found on the walk: the parser holds each against each, minutes for a hundred thousand of them.
    return parseDocument(text, { schema: 'failsafe', lineCounter, prettyErrors: false, uniqueKeys: false });
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** The parser's own words may quote a line, and with it a secret; its code is enough for a sentence. */
function reportSyntax(document: Parsed, line: (offset: number) => SourceRef, issues: Issues): void {
  const several = document.errors.find((error) => error.code === 'MULTIPLE_DOCS');
  if (several !== undefined) {
    issues.error('several-documents', line(several.pos[0]));
    return;
  }
  const [first] = document.errors;
  if (first === undefined) return;
  // After the first syntax error, what the parser says of the rest is guesswork.
  issues.error('yaml-syntax', line(first.pos[0]), { expected: SYNTAX[first.code] ?? 'not YAML or JSON' });
}

const SYNTAX: Readonly<Record<string, string>> = {
  BAD_INDENT: 'the indentation does not fit the lines above',
  TAB_AS_INDENT: 'a tab is used to indent, expected blanks',
  MISSING_CHAR: 'a closing bracket, comma, colon or quotation mark is missing',
  UNEXPECTED_TOKEN: 'something stands here that does not belong',
  BLOCK_AS_IMPLICIT_KEY: 'two keys stand on one line, or a line is indented wrongly',
  BAD_DQ_ESCAPE: 'a backslash in double quotes starts no known escape; use single quotes',
  BAD_ALIAS: 'an alias is not well-formed',
  MULTILINE_IMPLICIT_KEY: 'a key goes over several lines; a colon may be missing',
  TAG_RESOLVE_FAILED: 'a tag (!) is used that has no meaning here',
  BAD_SCALAR_START: 'a value starts with a character that needs quotation marks',
};

class TooMuch extends Error {
  constructor(
    readonly reason: 'too-many-aliases' | 'nested-too-deep' | 'yaml-syntax',
    readonly offset: number | undefined,
  ) {
    super(reason);
  }
}

class Walk {
  readonly #document: Parsed;
  readonly #offsets = new Map<string, number>();
  /** Where a key stands that its map has already. */
  readonly doubled: number[] = [];
  #values = 0;
  #aliased = 0;

  constructor(document: Parsed) {
    this.#document = document;
  }

  offsetNear(path: Path): number | undefined {
    for (let length = path.length; length >= 0; length -= 1) {
      const offset = this.#offsets.get(keyOf(path.slice(0, length)));
      if (offset !== undefined) return offset;
    }
    return undefined;
  }

  tree(node: unknown, key: string, depth: number, aliased: boolean): Tree {
    const offset = offsetOf(node);
    this.#values += 1;
    if (aliased) this.#aliased += 1;
    if (this.#values > VALUE_LIMIT || this.#aliased > ALIASED_LIMIT)
      throw new TooMuch('too-many-aliases', offset);
    if (depth > DEPTH_LIMIT) throw new TooMuch(aliased ? 'too-many-aliases' : 'nested-too-deep', offset);
    if (offset !== undefined && !this.#offsets.has(key)) this.#offsets.set(key, offset);
    if (isAlias(node)) {
      const target: Node | undefined = node.resolve(this.#document);
      if (target === undefined) throw new TooMuch('yaml-syntax', offset);
      return this.tree(target, key, depth + 1, true);
    }
    if (isMap(node)) return this.#map(node, key, depth, aliased);
    if (isSeq(node)) return this.#list(node, key, depth, aliased);
    return isScalar(node) ? scalarText(node) : undefined;
  }

  #map(map: YAMLMap, key: string, depth: number, aliased: boolean): Tree {
    const names = new Set<string>();
    const entries = map.items.map(({ key: name, value }): [string, Tree] => {
      const text = isScalar(name) ? String(name.value ?? '') : '(a key that is no word)';
      const below = `${key}/${escapeKey(text)}`;
      const offset = offsetOf(name);
      if (isScalar(name) && names.has(text) && !aliased) this.doubled.push(offset ?? 0);
      names.add(text);
      if (offset !== undefined) this.#offsets.set(below, offset);
      return [text, this.tree(value, below, depth + 1, aliased)];
    });
    return Object.fromEntries(entries.filter(([, value]) => value !== undefined));
  }

  #list(list: YAMLSeq, key: string, depth: number, aliased: boolean): Tree {
    return list.items.map((item, index) => this.tree(item, `${key}/${index}`, depth + 1, aliased));
  }
}

/** Plain `~`, `null` and nothing at all say that there is no value (YAML 1.2.2 §10.2.1.1). */
function scalarText(scalar: Scalar): string | undefined {
  const text = String(scalar.value ?? '');
  const plain = scalar.type === undefined || scalar.type === Scalar.PLAIN;
  return plain && /^(~|null|Null|NULL|)$/.test(text) ? undefined : text;
}

function offsetOf(node: unknown): number | undefined {
  if (typeof node !== 'object' || node === null || !('range' in node)) return undefined;
  const range: unknown = node.range;
  const start: unknown = Array.isArray(range) ? range[0] : undefined;
  return typeof start === 'number' ? start : undefined;
}

function keyOf(path: Path): string {
  return path.map((part) => `/${escapeKey(String(part))}`).join('');
}

function escapeKey(key: string): string {
  return key.replace(/~/g, '~0').replace(/\//g, '~1');
}
