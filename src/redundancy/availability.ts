/**
 * Probability that at least `need` paths of a group work, from the availabilities that the user states for things.
 * Things fail independently of one another; paths that share a thing fail with it together, so the sum goes over the
 * states of things, not over paths (series ∏A and parallel 1 − ∏(1 − A) are the two simplest cases).
 */

import type { Thing } from '../matrix/matrix.js';
import type { StatedAvailability } from '../plan/model.js';
import { list } from '../text/sentence.js';
import type { PathRequirements } from './minimal-sets.js';
import { describeThing, keyOf, kindOf } from './things.js';

/** Steps of the case distinction before it is given up: below a second; 17 things that share nothing need about as many. */
const STEP_LIMIT = 300_000;

export type AvailabilityResult =
  | { readonly kind: 'value'; readonly value: number; readonly leftOut: readonly string[] }
  /** Nothing to say: no figure fits any thing of the paths. */
  | { readonly kind: 'none' }
  | { readonly kind: 'lacking'; readonly reason: string };

/**
 * Kinds for which no figure is stated at all are left out of the sum and named in `leftOut`; a kind that has figures for
 * some of its things and not for others gives no value.
 */
export function groupAvailability(
  paths: readonly PathRequirements[],
  need: number,
  stated: readonly StatedAvailability[],
): AvailabilityResult {
  if (stated.length === 0) return { kind: 'none' };
  const things = new Map(paths.flat(2).map((thing) => [keyOf(thing), thing]));
  const figures = new Map<string, number>();
  for (const [key, thing] of things) {
    const value = figureOf(thing, stated);
    if (value !== undefined) figures.set(key, value);
  }
  if (figures.size === 0) return { kind: 'none' };
  const statedKinds = new Set([...things].filter(([key]) => figures.has(key)).map(([, thing]) => thing.kind));
  const lacking = [...things].filter(([key, thing]) => statedKinds.has(thing.kind) && !figures.has(key));
  if (lacking.length > 0) {
    const names = list(lacking.map(([, thing]) => describeThing(thing)));
    return { kind: 'lacking', reason: `No availability is shown: none is stated for ${names}.` };
  }
  const leftOut = [...new Set([...things.values()].map((thing) => thing.kind))].filter(
    (kind) => !statedKinds.has(kind),
  );
  const counted = paths.map((path) => path.filter((need) => need.every((t) => statedKinds.has(t.kind))));
  const value = probability(counted, need, (thing) => figures.get(keyOf(thing)) ?? 1);
  return value === undefined
    ? { kind: 'lacking', reason: 'No availability is shown: the group is too large for an exact sum.' }
    : { kind: 'value', value, leftOut };
}

function figureOf(thing: Thing, stated: readonly StatedAvailability[]): number | undefined {
  const ofKind = stated.filter((figure) => kindOf(figure.kind) === thing.kind);
  return (
    ofKind.find((figure) => figure.name === thing.name) ?? ofKind.find((figure) => figure.name === undefined)
  )?.value;
}

/** Undefined where the case distinction grows past its limit. */
export function probability(
  paths: readonly PathRequirements[],
  need: number,
  availability: (thing: Thing) => number,
): number | undefined {
  const blocks = blocksOf(paths, availability);
  const needs = paths.map((path) =>
    path.map((requirement) => requirement.map((thing) => blocks.indexOf.get(keyOf(thing)) ?? 0)),
  );
  const state: (boolean | undefined)[] = blocks.chance.map(() => undefined);
  let steps = 0;

  function sum(index: number): number {
    steps += 1;
    let sure = 0;
    let possible = 0;
    for (const path of needs) {
      if (path.some((requirement) => requirement.every((block) => state[block] === false))) continue;
      possible += 1;
      if (path.every((requirement) => requirement.some((block) => state[block] === true))) sure += 1;
    }
    if (sure >= need) return 1;
    if (possible < need || steps > STEP_LIMIT) return 0;
    const works = blocks.chance[index] ?? 1;
    state[index] = true;
    const up = sum(index + 1);
    state[index] = false;
    const down = sum(index + 1);
    state[index] = undefined;
    return works * up + (1 - works) * down;
  }

  const value = sum(0);
  return steps > STEP_LIMIT ? undefined : value;
}

interface Blocks {
  /** Key of a thing -> its block. */
  readonly indexOf: ReadonlyMap<string, number>;
  /** Availability of each block. */
  readonly chance: readonly number[];
}

/** Things that exactly the same paths cannot do without stand in series: one block, with the product of their figures. */
function blocksOf(paths: readonly PathRequirements[], availability: (thing: Thing) => number): Blocks {
  const usedBy = new Map<string, Set<number>>();
  const things = new Map<string, Thing>();
  const optional = new Set<string>();
  paths.forEach((path, index) => {
    for (const requirement of path) {
      const keys = new Set(requirement.map(keyOf));
      for (const thing of requirement) {
        const key = keyOf(thing);
        things.set(key, thing);
        usedBy.set(key, (usedBy.get(key) ?? new Set()).add(index));
        if (keys.size > 1) optional.add(key);
      }
    }
  });
  const blockOf = new Map<string, number>();
  const indexOf = new Map<string, number>();
  const chance: number[] = [];
  // What most paths need comes first: it decides the most cases at once.
  const order = [...things.keys()].sort((a, b) => (usedBy.get(b)?.size ?? 0) - (usedBy.get(a)?.size ?? 0));
  for (const key of order) {
    const thing = things.get(key);
    if (thing === undefined) continue;
    const signature = optional.has(key) ? key : [...(usedBy.get(key) ?? [])].join(' ');
    const block = blockOf.get(signature) ?? chance.length;
    blockOf.set(signature, block);
    indexOf.set(key, block);
    chance[block] = (chance[block] ?? 1) * availability(thing);
  }
  return { indexOf, chance };
}
