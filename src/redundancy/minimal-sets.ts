/**
 * Every minimal set of one or two things whose loss takes the working paths below `need`.
 * Exact: a pair is found by uniting the sets of paths that each of the two ends, plus those that only both end together
 * (a device on two feeds). Cost: things squared times paths / 32.
 */
import type { Thing } from '../matrix/matrix.js';
import { bareThing, compareThings, keyOf } from './things.js';

/** A path works while each of its requirements has one thing left. */
export type PathRequirements = readonly (readonly Thing[])[];

export interface MinimalSets {
  readonly singlePoints: readonly Thing[];
  readonly pairs: readonly (readonly [Thing, Thing])[];
}

/** `counts` leaves out things that are not held to fail (a requirement that has one of those cannot be cut). */
export function minimalSets(
  paths: readonly PathRequirements[],
  need: number,
  counts: (thing: Thing) => boolean = () => true,
): MinimalSets {
  const mayLose = paths.length - need;
  // Below `need` already: nothing has to be lost.
  if (mayLose < 0 || need <= 0) return { singlePoints: [], pairs: [] };
  const { things, alone, together } = incidence(paths, counts);
  const size = alone.map(popcount);
  const isSingle = size.map((lost) => lost > mayLose);
  const pairs: [Thing, Thing][] = [];
  for (let i = 0; i < things.length; i += 1) {
    if (isSingle[i]) continue;
    for (let j = i + 1; j < things.length; j += 1) {
      if (isSingle[j]) continue;
      const both = together.get(i * things.length + j);
      if (both === undefined && (size[i] ?? 0) + (size[j] ?? 0) <= mayLose) continue;
      const first = things[i];
      const second = things[j];
      const lost = popcount(unite(unite(alone[i], alone[j]), both));
      if (first !== undefined && second !== undefined && lost > mayLose) pairs.push([first, second]);
    }
  }
  return { singlePoints: things.filter((_, index) => isSingle[index]), pairs };
}

interface Incidence {
  /** In the order in which they are shown. */
  readonly things: readonly Thing[];
  /** For each thing the paths that its loss ends. */
  readonly alone: readonly Uint32Array[];
  /** first * things + second -> paths that the loss of both ends and of one does not. */
  readonly together: ReadonlyMap<number, Uint32Array>;
}

function incidence(paths: readonly PathRequirements[], counts: (thing: Thing) => boolean): Incidence {
  const cuttable = paths.map((requirements) =>
    requirements.filter((alternatives) => alternatives.length > 0 && alternatives.every(counts)),
  );
  const byKey = new Map<string, Thing>();
  for (const thing of cuttable.flat(2)) byKey.set(keyOf(thing), bareThing(thing));
  const things = [...byKey.values()].sort(compareThings);
  const indexOf = new Map(things.map((thing, index) => [keyOf(thing), index]));
  const words = Math.ceil(paths.length / 32);
  const alone = things.map(() => new Uint32Array(words));
  const together = new Map<number, Uint32Array>();
  cuttable.forEach((requirements, path) => {
    for (const alternatives of requirements) {
      const indexes = [...new Set(alternatives.map((thing) => indexOf.get(keyOf(thing)) ?? -1))].sort(
        (a, b) => a - b,
      );
      const [first = -1, second = -1] = indexes;
      if (indexes.length === 1) setBit(alone[first], path);
      if (indexes.length === 2) {
        const key = first * things.length + second;
        const bits = together.get(key) ?? new Uint32Array(words);
        setBit(bits, path);
        together.set(key, bits);
      }
    }
  });
  return { things, alone, together };
}

function setBit(bits: Uint32Array | undefined, index: number): void {
  if (bits !== undefined) bits[index >>> 5] = (bits[index >>> 5] ?? 0) | (1 << (index & 31));
}

function unite(a: Uint32Array | undefined, b: Uint32Array | undefined): Uint32Array {
  if (a === undefined) return b ?? new Uint32Array();
  return b === undefined ? a : a.map((word, index) => word | (b[index] ?? 0));
}

function popcount(bits: Uint32Array): number {
  let total = 0;
  for (let word of bits) {
    while (word !== 0) {
      word &= word - 1;
      total += 1;
    }
  }
  return total;
}
