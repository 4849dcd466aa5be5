import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Thing } from '../../src/matrix/matrix.js';
import { minimalSets, type PathRequirements } from '../../src/redundancy/minimal-sets.js';
import { keyOf } from '../../src/redundancy/things.js';
import { workMs } from '../support/work.js';

const part = (name: string): Thing => ({ kind: 'part', name });
const path = (...names: string[]): PathRequirements => names.map((name) => [part(name)]);
const names = (sets: readonly Thing[]) => sets.map((thing) => thing.name);

/** The definition itself, over every subset of things: which smallest subsets take the paths below `need`. */
function bruteForce(paths: readonly PathRequirements[], need: number): string[][] {
  const things = [...new Set(paths.flat(2).map(keyOf))];
  const worksWithout = (lost: ReadonlySet<string>) =>
    paths.filter((requirements) => requirements.every((either) => either.some((t) => !lost.has(keyOf(t)))))
      .length >= need;
  const cuts: string[][] = [];
  if (!worksWithout(new Set())) return [];
  for (let mask = 1; mask < 1 << things.length; mask += 1) {
    const lost = things.filter((_, index) => (mask >> index) & 1);
    const holdsASmallerOne = lost.some(
      (thing) => !worksWithout(new Set(lost.filter((other) => other !== thing))),
    );
    if (!worksWithout(new Set(lost)) && !holdsASmallerOne) cuts.push(lost.sort());
  }
  return cuts;
}

const requirement = fc
  .uniqueArray(fc.integer({ min: 0, max: 7 }), { minLength: 1, maxLength: 3 })
  .map((numbers) => numbers.map((n) => part(`t${n}`)));
const somePaths = fc.array(fc.array(requirement, { maxLength: 5 }), { maxLength: 6 });

describe('minimal sets of one and two', () => {
  test('are those of brute force over all subsets of things', () => {
    fc.assert(
      fc.property(somePaths, fc.integer({ min: 1, max: 4 }), (paths, need) => {
        const expected = bruteForce(paths, need);
        const found = minimalSets(paths, need);
        const keys = [
          ...found.singlePoints.map((thing) => [keyOf(thing)]),
          ...found.pairs.map((pair) => pair.map(keyOf).sort()),
        ];
        const order = (sets: string[][]) => sets.map((set) => set.join('+')).sort();
        expect(order(keys)).toEqual(order(expected.filter((cut) => cut.length <= 2)));
      }),
      { numRuns: 1500 },
    );
  });

  test('no pair holds a single point, and no pair stands twice', () => {
    fc.assert(
      fc.property(somePaths, fc.integer({ min: 1, max: 3 }), (paths, need) => {
        const { singlePoints, pairs } = minimalSets(paths, need);
        const single = new Set(singlePoints.map(keyOf));
        expect(pairs.flat().some((thing) => single.has(keyOf(thing)))).toBe(false);
        expect(new Set(pairs.map((pair) => pair.map(keyOf).sort().join())).size).toBe(pairs.length);
      }),
    );
  });

  test('a device on two feeds survives one and not both; a device on three survives any two', () => {
    const feeds = (...all: string[]) => [[...all.map(part)]];
    expect(minimalSets([feeds('A', 'B')], 1)).toEqual({ singlePoints: [], pairs: [[part('A'), part('B')]] });
    expect(minimalSets([feeds('A', 'B', 'C')], 1)).toEqual({ singlePoints: [], pairs: [] });
    expect(minimalSets([feeds('A')], 1).singlePoints).toEqual([part('A')]);
  });

  test('below need already: nothing has to be lost, so nothing is named', () => {
    expect(minimalSets([path('a')], 2)).toEqual({ singlePoints: [], pairs: [] });
    expect(minimalSets([], 1)).toEqual({ singlePoints: [], pairs: [] });
  });

  test('things that are not held to fail stand in no set', () => {
    const found = minimalSets([path('a', 'net'), path('b', 'net')], 1, (thing) => thing.name !== 'net');
    expect(found).toEqual({ singlePoints: [], pairs: [[part('a'), part('b')]] });
  });

  test('600 paths over 300 things take a moment', () => {
    const many = Array.from({ length: 600 }, (_, n) => path(`c${n % 100}`, `s${n % 3}`, `n${n % 197}`));
    const before = workMs();
    expect(minimalSets(many, 390).singlePoints).toEqual([]);
    expect(minimalSets(many, 401).singlePoints.map((t) => t.name)).toEqual(['s0', 's1', 's2']);
    expect(workMs() - before).toBeLessThan(8000);
  });
});

/** Simple paths between two nodes of a graph; the things are the nodes between the ends. */
function nodePaths(edges: readonly string[], from: string, to: string): PathRequirements[] {
  const next = new Map<string, string[]>();
  for (const edge of edges) {
    const [a = '', b = ''] = edge.split('-');
    next.set(a, [...(next.get(a) ?? []), b]);
    next.set(b, [...(next.get(b) ?? []), a]);
  }
  const found: PathRequirements[] = [];
  const walk = (trail: string[]) => {
    const at = trail.at(-1) ?? from;
    if (at === to) found.push(path(...trail.slice(1, -1)));
    else for (const node of next.get(at) ?? []) if (!trail.includes(node)) walk([...trail, node]);
  };
  walk([from]);
  return found;
}

describe('known graphs', () => {
  // standards.md part 11, example 7: textbook figure (Brandes & Erlebach, Network Analysis, ch. 7 fig. 1), as cited in
  // networkx connectivity/tests/test_cuts.py: the minimum node cut between 1 and 11 is {6, 7}.
  test('Brandes & Erlebach ch. 7 fig. 1: between 1 and 11 no single point, and the cut {6,7}', () => {
    const edges = '1-2 1-3 1-4 1-5 2-3 2-6 3-4 3-6 4-6 4-7 5-7 6-8 6-9 7-8 7-10 8-11 9-10 9-11 10-11'.split(
      ' ',
    );
    const { singlePoints, pairs } = minimalSets(nodePaths(edges, '1', '11'), 1);
    expect(singlePoints).toEqual([]);
    expect(pairs.map((pair) => names(pair))).toContainEqual(['6', '7']);
  });

  // standards.md part 11, example 1 (networkx test_biconnected.py): cut vertices {4,6,7,8,9}. Between two ends only those on
  // every way count: from 0 to 12 all but none lie between; 4 lies between 3 and 7.
  test('networkx test_biconnected: of the cut vertices {4,6,7,8,9} those between the two ends', () => {
    const edges = (
      '0-1 0-5 0-6 0-14 1-5 1-6 1-14 2-4 2-10 3-4 3-15 4-6 4-7 4-10 5-14 6-14 ' +
      '7-9 8-9 8-12 8-13 10-15 11-12 11-13 12-13'
    ).split(' ');
    const between = (a: string, b: string) => names(minimalSets(nodePaths(edges, a, b), 1).singlePoints);
    expect(between('0', '11')).toEqual(['4', '6', '7', '8', '9']);
    expect(between('3', '7')).toEqual(['4']);
    expect(between('5', '14')).toEqual([]);
  });

  // standards.md part 11, examples 2 and 4 (networkx test_biconnected.py).
  test('networkx: star around 1; blocks {1,3,6,8} {0,2,5} {2,3} {4,7}', () => {
    expect(names(minimalSets(nodePaths(['0-1', '1-2', '1-3'], '0', '3'), 1).singlePoints)).toEqual(['1']);
    const adjacency = '0-2 0-5 1-3 1-8 2-3 2-5 3-6 3-8 4-7 6-8'.split(' ');
    expect(names(minimalSets(nodePaths(adjacency, '0', '8'), 1).singlePoints)).toEqual(['2', '3']);
  });

  // standards.md part 11, example 5 (networkx 1.10 docs): barbell(4,2) has 4 cut vertices, with edge 2-8 none.
  test('networkx barbell(4,2): the bridge nodes are single points until edge 2-8 leads around', () => {
    const barbell = '0-1 0-2 0-3 1-2 1-3 2-3 3-4 4-5 5-6 6-7 6-8 6-9 7-8 7-9 8-9'.split(' ');
    expect(names(minimalSets(nodePaths(barbell, '0', '9'), 1).singlePoints)).toEqual(['3', '4', '5', '6']);
    expect(minimalSets(nodePaths([...barbell, '2-8'], '0', '9'), 1).singlePoints).toEqual([]);
  });

  // standards.md part 11, example 8 (ours, with its trap: cuts between host and disk, not articulation points).
  test('host and disk over two switches and two controllers: none; without the swB cables: swA', () => {
    const full = 'host-swA host-swB swA-c0 swA-c1 swB-c0 swB-c1 c0-disk c1-disk'.split(' ');
    const meshed = minimalSets(nodePaths(full, 'host', 'disk'), 1);
    expect(meshed.singlePoints).toEqual([]);
    expect(meshed.pairs.map((pair) => names(pair))).toEqual([
      ['c0', 'c1'],
      ['swA', 'swB'],
    ]);
    const cut = full.filter((edge) => !edge.startsWith('swB'));
    expect(names(minimalSets(nodePaths(cut, 'host', 'disk'), 1).singlePoints)).toEqual(['swA']);
  });
});
