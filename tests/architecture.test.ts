import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const SRC = fileURLToPath(new URL('../src/', import.meta.url));

/** Folders that do no I/O (DEVELOPERS.md). A path ending in `.ts` is one file. */
const PURE = [
  ...[
    'plan',
    'sighting',
    'text',
    'wire',
    'matrix',
    'evidence',
    'eyes',
    'identity',
    'cabling',
    'facts',
    'defaults',
    'site',
    'findings',
    'review',
    'redundancy',
    'verdicts',
    'result',
    'page',
    'terminal',
    'survey',
    'seal',
    'draft',
    'attest',
    'compare',
    'vantage',
  ],
  ...['plan', 'outcome', 'gap-meter', 'index', 'pulls', 'remaining', 'watchable'].map(
    (name) => `drill/${name}.ts`,
  ),
  ...['changes', 'merge', 'state', 'wording'].map((name) => `follow/${name}.ts`),
];
/** What an operating system prints, as values. */
const SYSTEM_OUTPUTS = [
  ...['linux/ip-json', 'linux/proc-route', 'linux/neighbours'],
  ...['macos/ifconfig', 'macos/netstat', 'macos/neighbours', 'neighbour', 'console'],
  ...['tables', 'route-print', 'getmac', 'netsh-addresses', 'neighbours', 'capture-devices'].map(
    (name) => `windows/${name}`,
  ),
].map((name) => `system/${name}.ts`);
PURE.push(...SYSTEM_OUTPUTS);

const PURE_PACKAGES = new Set([
  'zod',
  'csv-stringify/sync',
  'ipaddr.js',
  'yaml',
  'string-width',
  'fastest-levenshtein',
  'node:util',
  // Hashing is arithmetic, not I/O: the page names its own script and style by hash.
  'node:crypto',
  'oui-data',
  'node:module',
]);

interface Import {
  readonly from: string;
  readonly specifier: string;
  readonly typeOnly: boolean;
}

const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => name.split(path.sep).join('/'));

function importsOf(file: string): Import[] {
  const text = readFileSync(path.join(SRC, file), 'utf8');
  const pattern =
    /^\s*(?:import|export)\s+(type\s+)?(?:[^'";]*?\sfrom\s+)?['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]/gm;
  return [...text.matchAll(pattern)].map((match) => ({
    from: file,
    specifier: match[2] ?? match[3] ?? '',
    typeOnly: match[1] !== undefined,
  }));
}

function target({ from, specifier }: Import): string | undefined {
  if (!specifier.startsWith('.')) return undefined;
  return path.posix.normalize(path.posix.join(path.posix.dirname(from), specifier)).replace(/\.js$/, '.ts');
}

const isPure = (file: string): boolean =>
  PURE.some((place) => (place.endsWith('.ts') ? file === place : file.startsWith(`${place}/`)));
const all = files.flatMap(importsOf);

describe('import rules', () => {
  it('reads the source it judges', () => {
    expect(files.length).toBeGreaterThan(50);
    expect(all.length).toBeGreaterThan(100);
  });

  it('keeps I/O, clocks and network packages out of the pure folders', () => {
    const outside = all.filter(
      (one) => isPure(one.from) && target(one) === undefined && !PURE_PACKAGES.has(one.specifier),
    );
    expect(outside.map(({ from, specifier }) => `${from} imports ${specifier}`)).toEqual([]);
  });

  it('lets a pure folder use pure folders only, types apart', () => {
    const across = all.filter((one) => {
      const to = target(one);
      return isPure(one.from) && !one.typeOnly && to?.includes('/') && !isPure(to);
    });
    expect(across.map(({ from, specifier }) => `${from} imports ${specifier}`)).toEqual([]);
  });

  it('reads no clock, no environment and no randomness in the pure folders', () => {
    const reading = files.filter(isPure).flatMap((file) => {
      const text = readFileSync(path.join(SRC, file), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '');
      const found =
        /\bDate\.now\(|\bnew Date\(\)|\bMath\.random\(|\bprocess\.|\bperformance\.now\(|\bsetTimeout\(/.exec(
          text,
        );
      return found === null ? [] : [`${file}: ${found[0]}`];
    });
    expect(reading).toEqual([]);
  });

  it('reads back no sentence of ours: what happened is a cause, not a text', () => {
    const words = String.raw`\b(?:reason|message|detail|advice|because|lines|reasons)\b`;
    const asks = String.raw`(?:match|matchAll|startsWith|endsWith|includes|search|split|indexOf)\(\s*['"\`/]`;
    const reading = new RegExp(
      [
        String.raw`${words}\)?(?:\?\.|\.)(?:\w+\(\)\.)?${asks}`,
        String.raw`\.(?:test|exec)\((?:[\w.?]*\.)?${words}\)`,
        // A word alone, such as a state or a cause, has no blank in it.
        String.raw`${words} [!=]== ['"\`][^'"\`]* `,
      ].join('|'),
    );
    expect(
      ["why.reason.includes('router')", '/behind/.test(sighting.reason)'].every((line) => reading.test(line)),
    ).toBe(true);
    const read = files
      // There the texts are those of programs, of Node and of peers.
      .filter((file) => !/^(wire|system|probe|kit|remote|snmp|presence)\//.test(file))
      .flatMap((file) => {
        const text = readFileSync(path.join(SRC, file), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/ .*$/gm, '');
        const found = reading.exec(text);
        return found === null ? [] : [`${file}: ${found[0]}`];
      });
    expect(read).toEqual([]);
  });

  it('keeps the judge out of what gathers evidence', () => {
    const upward = all.filter((one) => {
      const to = target(one);
      return (
        /^(probe|snmp|wire|system|presence|vantage)\//.test(one.from) &&
        to !== undefined &&
        /^(evidence|facts|findings|identity|cabling|redundancy|verdicts|page)\//.test(to)
      );
    });
    expect(upward.map(({ from, specifier }) => `${from} imports ${specifier}`)).toEqual([]);
  });

  it('has no circle between the rooms that look at the world from here', () => {
    const order = ['system', 'vantage', 'presence', 'kit'];
    const backward = all.filter((one) => {
      const [from, to] = [one.from, target(one) ?? ''].map((file) => order.indexOf(file.split('/')[0] ?? ''));
      return from !== undefined && to !== undefined && from >= 0 && to > from;
    });
    expect(backward.map(({ from, specifier }) => `${from} imports ${specifier}`)).toEqual([]);
  });

  it('has no import cycle', () => {
    const edges = new Map(
      files.map((file) => [
        file,
        importsOf(file)
          .flatMap((one) => (one.typeOnly ? [] : [target(one) ?? '']))
          .filter((to) => files.includes(to)),
      ]),
    );
    const cycles: string[] = [];
    const state = new Map<string, 'open' | 'done'>();
    const visit = (file: string, trail: readonly string[]): void => {
      if (state.get(file) === 'done') return;
      if (state.get(file) === 'open') {
        cycles.push([...trail.slice(trail.indexOf(file)), file].join(' -> '));
        return;
      }
      state.set(file, 'open');
      for (const to of edges.get(file) ?? []) visit(to, [...trail, file]);
      state.set(file, 'done');
    };
    for (const file of files) visit(file, []);
    expect(cycles).toEqual([]);
  });

  it('has no circle between folders either, types included', () => {
    const roomOf = (file: string): string => file.split('/')[0] ?? file;
    const knows = new Map<string, Map<string, string>>();
    for (const one of all) {
      const to = target(one);
      if (to === undefined || !files.includes(to) || roomOf(one.from) === roomOf(to)) continue;
      const rooms = knows.get(roomOf(one.from)) ?? new Map<string, string>();
      rooms.set(roomOf(to), `${one.from} -> ${to}`);
      knows.set(roomOf(one.from), rooms);
    }
    /** Rooms that can be reached from one, itself included where there is a circle. */
    const reachable = (room: string, seen = new Set<string>()): Set<string> => {
      for (const next of knows.get(room)?.keys() ?? []) {
        if (seen.has(next)) continue;
        seen.add(next);
        reachable(next, seen);
      }
      return seen;
    };
    const circles = [...knows].flatMap(([room, rooms]) =>
      [...rooms].flatMap(([next, by]) => (reachable(next).has(room) ? [by] : [])),
    );
    expect(circles).toEqual([]);
  });

  it('keeps every file small enough to be one thought', () => {
    const long = files
      .map((file) => ({ file, lines: readFileSync(path.join(SRC, file), 'utf8').split('\n').length }))
      .filter(({ lines }) => lines > 400);
    expect(long).toEqual([]);
  });
});
