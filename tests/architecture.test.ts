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

  describe('no sentence of ours is read back: what happened is a cause, not a text', () => {
    /** Where texts are those of programs, of Node and of peers. */
    const OTHERS = /^(wire|system|probe|kit|remote|snmp|presence)\//;
    /** Where texts are those of a plan, of a person, of a name or of a file: they are read there once. */
    const READS: Readonly<Record<string, string>> = {
      'eyes/': 'what a person saw, in free words',
      'plan-file/': 'a plan',
      'plan/': 'addresses, MACs, speeds and names as somebody wrote them',
      'seal/': 'manifests and paths',
      'files/': 'names of files',
      'cli/': 'what was typed, and texts of the package that reads arguments',
      'attest/walk.ts': 'what was typed',
      'cabling/port-kind.ts': 'names that switches give their ports',
      'cabling/port-name.ts': 'names that switches give their ports',
      'findings/site/vantages.ts': 'a place as it was typed, as ssh takes it',
      'identity/facts.ts': 'names in a certificate',
      'result/combine.ts': 'addresses that say nothing',
      'result/told-facts.ts': 'the field of a difference, all that results of older versions have',
      'review/switch-ports.ts': 'names of ports in a plan',
      'vantage/': 'names of interfaces',
    };
    const sourceOf = (file: string): string =>
      readFileSync(path.join(SRC, file), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/ .*$/gm, '');

    it('asks no sentence what stands in it', () => {
      const words = String.raw`\b(?:reason|message|detail|advice|because|lines|reasons|evidence|headline|mend)\b`;
      const asks = String.raw`(?:match|matchAll|startsWith|endsWith|includes|search|split|indexOf|replace|replaceAll)\(\s*['"\`/]`;
      const reading = new RegExp(
        [
          String.raw`${words}\)?(?:\?\.|\.)(?:\w+\(\)\.)?${asks}`,
          String.raw`\.(?:test|exec)\((?:[\w.?]*\.)?${words}\)`,
          String.raw`\b(?:message|advice|headline)\??\.includes\(`,
          // A word alone, such as a state or a cause, has no blank in it.
          String.raw`${words} [!=]== ['"\`][^'"\`]* `,
          // The words of a cell, and what was measured, say nothing but by their fact.
          String.raw`\b(?:text|measured)\b [!=]== ['"\`][^'"\`]`,
        ].join('|'),
      );
      expect(
        [
          "why.reason.includes('router')",
          '/behind/.test(sighting.reason)',
          "text === 'answers' ? title : text",
          'evidence.filter((line) => !message.includes(line))',
        ].every((line) => reading.test(line)),
      ).toBe(true);
      const read = files
        .filter((file) => !OTHERS.test(file) && !/^(plan-file|plan|eyes)\//.test(file))
        .flatMap((file) => {
          const found = reading.exec(sourceOf(file));
          return found === null ? [] : [`${file}: ${found[0]}`];
        });
      expect(read).toEqual([]);
    });

    it('has regular expressions about words only where the words are those of others', () => {
      // A literal with two letters in a row that are no class or escape: it looks for a word.
      const literal =
        /(?:[(,=:[!&|?]\s*|return )\/((?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n[*])(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n[])*)\/[a-z]*[.,;)\s\]]/g;
      const hasWord = (pattern: string): boolean =>
        /[A-Za-z]{2}/.test(
          pattern.replace(/\\[pP]\{[^}]*\}|\\u[0-9a-fA-F]{4}|\\u\{[^}]*\}|\\.|\[[^\]]*\]|\(\?<?[:=!]/g, ''),
        );
      expect(['^([^,]{1,80}), \\d{4}', '[^a-z0-9]+', '\\p{Cs}$'].map(hasWord)).toEqual([false, false, false]);
      expect(['^jobs? ', '^(switch|network) ', '^service (\\S+)$'].map(hasWord)).toEqual([true, true, true]);
      const own = files.filter(
        (file) => !OTHERS.test(file) && !Object.keys(READS).some((place) => file.startsWith(place)),
      );
      const read = own.flatMap((file) =>
        [...sourceOf(file).matchAll(literal)].flatMap(([, pattern = '']) =>
          hasWord(pattern) ? [`${file}: /${pattern}/`] : [],
        ),
      );
      expect(read).toEqual([]);
      const needless = Object.keys(READS).filter(
        (place) =>
          !files.some(
            (file) =>
              file.startsWith(place) &&
              [...sourceOf(file).matchAll(literal)].some(([, pattern = '']) => hasWord(pattern)),
          ),
      );
      expect(needless).toEqual([]);
    });
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

  it('joins no signals in a way that Node 20 keeps for as long as the outer one lives (probe/bound.ts has ours)', () => {
    const joins = files.filter((file) =>
      /AbortSignal\.any\(/.test(readFileSync(path.join(SRC, file), 'utf8')),
    );
    expect(joins).toEqual([]);
  });

  it('keeps every file small enough to be one thought', () => {
    const long = files
      .map((file) => ({ file, lines: readFileSync(path.join(SRC, file), 'utf8').split('\n').length }))
      .filter(({ lines }) => lines > 400);
    expect(long).toEqual([]);
  });
});
