/**
 * Paths and their states -> verdict of the group (DESIGN 2 and 6).
 * `redundant` rests on live paths alone. A single point is named only where it is one even if every unproven path works,
 * so that what could not be tested from here is never reported as not there.
 */
import type { GroupVerdict, PathResult, Thing } from '../matrix/matrix.js';
import { type MinimalSets, minimalSets, type PathRequirements } from './minimal-sets.js';

export interface StatedPath {
  readonly state: PathResult['state'];
  readonly requires: PathRequirements;
}

export interface GroupJudgement extends MinimalSets {
  readonly verdict: GroupVerdict;
  /** Works, and no path may fail, whatever the paths run through. */
  readonly noSpare: boolean;
  /** Single points that only the unproven paths would take away. */
  readonly unlessUnproven: readonly Thing[];
}

const NONE: MinimalSets = { singlePoints: [], pairs: [] };

export function judgePaths(
  paths: readonly StatedPath[],
  need: number,
  counts: (thing: Thing) => boolean,
): GroupJudgement {
  const live = paths.filter((path) => path.state === 'live').map((path) => path.requires);
  const possible = paths.filter((path) => path.state !== 'dead').map((path) => path.requires);
  if (possible.length < need || possible.length === 0)
    return { verdict: 'lost', ...NONE, noSpare: false, unlessUnproven: [] };
  const certain = minimalSets(possible, need, counts);
  if (live.length < need)
    return { verdict: 'unproven', ...certain, noSpare: possible.length === need, unlessUnproven: [] };
  const proven = minimalSets(live, need, counts);
  if (live.length > need && proven.singlePoints.length === 0)
    return { verdict: 'redundant', ...proven, noSpare: false, unlessUnproven: [] };
  const noSpare = possible.length === need;
  const atRisk = noSpare || certain.singlePoints.length > 0;
  const isCertain = new Set(certain.singlePoints.map((thing) => `${thing.kind}\u0000${thing.name}`));
  return {
    verdict: atRisk ? 'at-risk' : 'unproven',
    ...certain,
    noSpare,
    unlessUnproven: proven.singlePoints.filter((thing) => !isCertain.has(`${thing.kind}\u0000${thing.name}`)),
  };
}

/**
 * Which things are held to fail. Everything, with one exception: a network that all planned paths share, in a group whose
 * `independent` does not name `network`, is one by intent (two management ports in one management network).
 */
export function countedThings(
  promised: readonly string[],
  planned: readonly PathRequirements[],
): { readonly counts: (thing: Thing) => boolean; readonly sharedNetworks: readonly string[] } {
  if (promised.includes('network')) return { counts: () => true, sharedNetworks: [] };
  const networksOf = (path: PathRequirements) =>
    path.flat().flatMap((thing) => (thing.kind === 'network' ? [thing.name] : []));
  const [first, ...rest] = planned;
  const shared =
    first === undefined || rest.length === 0
      ? []
      : networksOf(first).filter((name) => rest.every((path) => networksOf(path).includes(name)));
  return {
    counts: (thing) => thing.kind !== 'network' || !shared.includes(thing.name),
    sharedNetworks: shared,
  };
}
