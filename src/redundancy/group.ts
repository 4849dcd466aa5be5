/** One group -> its result: paths with their things, verdict, single points, pairs, the same as planned, availability. */

import type { GroupResult, PathResult } from '../matrix/matrix.js';
import type { Group, Plan } from '../plan/model.js';
import { list } from '../text/sentence.js';
import { groupAvailability } from './availability.js';
import { basisOf, unknownKinds } from './basis.js';
import { type GroupPaths, lookupOf, pathsOf } from './paths.js';
import { intentReasons, pairReasons, stateReasons } from './reasons.js';
import { bareThing, type Measured } from './things.js';
import { countedThings, type GroupJudgement, judgePaths, type StatedPath } from './verdict.js';

/** What the judge knows of one endpoint as the end of a path. */
export interface EndpointLiveness {
  readonly state: 'live' | 'dead' | 'unproven';
  readonly why?: string | undefined;
  /** What of its things is not only planned. */
  readonly measured?: Measured | undefined;
  readonly measuredSpeedMbps?: number | undefined;
}

/** What a look that left by the host's own port said of the array port: of the way between them, whatever else answers there. */
export interface PairMeasured {
  readonly state: 'live' | 'dead' | 'unproven';
  readonly why?: string | undefined;
  /** The place that looked. */
  readonly over: string;
}

interface Found {
  readonly liveness: ReadonlyMap<string, EndpointLiveness>;
  readonly pairs: ReadonlyMap<string, PairMeasured>;
}

export interface AssessedGroup {
  readonly result: GroupResult;
  readonly planned: GroupPaths;
  readonly asPlanned: GroupJudgement;
  readonly found: GroupJudgement;
}

/** `site` absent: the plan alone, judged as if everything worked. */
export function assessGroup(plan: Plan, group: Group, groups: readonly Group[], site?: Found): AssessedGroup {
  const planned = pathsOf(group, groups, lookupOf(plan));
  const requirements = planned.paths.map((path) => path.requires);
  const { counts, sharedNetworks } = countedThings(planned.promised, requirements);
  const ifAllWorks = planned.paths.map((path) => ({ ...path, state: 'live' as const }));
  const judged = (all: readonly StatedPath[]): GroupJudgement =>
    planned.tooMany === undefined ? judgePaths(all, group.need, counts) : NOT_JUDGED;
  const asPlanned = promiseKept(judged(ifAllWorks), unknownKinds(ifAllWorks, planned.promised));
  const paths = site === undefined ? undrivenPaths(planned) : foundPaths(plan, group, groups, site);
  const found =
    site === undefined
      ? asPlanned
      : promiseKept(judged(paths.map(asStated)), unknownKinds(paths, planned.promised));
  const result: GroupResult = {
    name: group.name,
    need: group.need,
    basis: basisOf(paths, planned.promised),
    inferred: group.inferred,
    planned: planned.paths.map((path) => path.id),
    live: paths.filter((path) => path.state === 'live').map((path) => path.id),
    verdict: found.verdict,
    reasons: [],
    singlePoints: found.singlePoints,
    pairs: found.pairs,
    paths: paths.map(({ requires, ...path }) => path),
    asPlanned: {
      verdict: asPlanned.verdict,
      singlePoints: asPlanned.singlePoints,
      pairs: asPlanned.pairs,
    },
  };
  const availability = availabilityOf(plan, group, requirements, site === undefined ? undefined : paths);
  const reasons = [
    ...stateReasons(planned, paths, found, site === undefined),
    ...(site === undefined ? [] : pairReasons(plan, paths)),
    ...intentReasons(planned, sharedNetworks),
    ...availability.reasons,
  ];
  return {
    result: { ...result, reasons, ...availability.figures },
    planned,
    asPlanned,
    found,
  };
}

/** Too many paths to hold: nothing is claimed of the group. */
const NOT_JUDGED: GroupJudgement = {
  verdict: 'unproven',
  singlePoints: [],
  pairs: [],
  noSpare: false,
  unlessUnproven: [],
};

/** A promise that nobody can hold against anything is never kept (DESIGN 6). */
function promiseKept(judged: GroupJudgement, unknown: ReturnType<typeof unknownKinds>): GroupJudgement {
  return unknown.length > 0 && judged.verdict === 'redundant' ? { ...judged, verdict: 'unproven' } : judged;
}

type PathWithNeeds = PathResult & { readonly requires: GroupPaths['paths'][number]['requires'] };

function asStated(path: PathWithNeeds): StatedPath {
  return { state: path.state, requires: path.requires };
}

function undrivenPaths(planned: GroupPaths): PathWithNeeds[] {
  return planned.paths.map((path) => ({
    ...shape(path.id, path.endpoints, path.requires),
    state: 'unproven',
    why: 'the plan alone: nothing was measured',
  }));
}

function foundPaths(
  plan: Plan,
  group: Group,
  groups: readonly Group[],
  { liveness, pairs }: Found,
): PathWithNeeds[] {
  return pathsOf(group, groups, lookupOf(plan, measuredIn(liveness))).paths.map((path) => {
    const ends = path.endpoints.map((id) => ({ id, ...stateOf(id, liveness) }));
    const broken = brokenHop(path.requires, liveness);
    const pair = pairs.get(path.id);
    const between = pair === undefined ? [] : [{ id: path.id, ...pair }];
    const worst =
      (broken === undefined ? undefined : { id: broken, state: 'dead' as const, why: 'the link is down' }) ??
      [...ends, ...between].find(({ state }) => state === 'dead') ??
      [...ends, ...between].find(({ state }) => state === 'unproven') ??
      ends[0];
    const why = worst?.why === undefined || ends.length === 1 ? worst?.why : `${worst.id}: ${worst.why}`;
    return {
      ...shape(path.id, path.endpoints, path.requires),
      state: worst?.state ?? 'unproven',
      ...(why === undefined ? {} : { why }),
      ...(pair === undefined ? {} : { over: pair.over }),
    };
  });
}

const measuredBefore = new WeakMap<object, ReadonlyMap<string, Measured>>();

/** The same for every group of a run. */
function measuredIn(liveness: ReadonlyMap<string, EndpointLiveness>): ReadonlyMap<string, Measured> {
  const known = measuredBefore.get(liveness);
  if (known !== undefined) return known;
  const measured = new Map<string, Measured>();
  for (const [id, one] of liveness) if (one.measured !== undefined) measured.set(id, one.measured);
  measuredBefore.set(liveness, measured);
  return measured;
}

/** A hop between two switches of which every link is known to be down. */
function brokenHop(
  requires: GroupPaths['paths'][number]['requires'],
  liveness: ReadonlyMap<string, EndpointLiveness>,
): string | undefined {
  return requires.find(
    (any) =>
      any.length > 0 &&
      any.every(({ kind, name }) => kind === 'switch-link' && liveness.get(name)?.state === 'dead'),
  )?.[0]?.name;
}

function stateOf(id: string, liveness: ReadonlyMap<string, EndpointLiveness>): EndpointLiveness {
  return liveness.get(id) ?? { state: 'unproven', why: 'nothing was measured' };
}

function shape(id: string, endpoints: readonly string[], requires: GroupPaths['paths'][number]['requires']) {
  const either = requires.filter((requirement) => requirement.length > 1);
  return {
    id,
    endpoints,
    things: requires.flatMap((requirement) => (requirement.length === 1 ? requirement : [])),
    ...(either.length === 0 ? {} : { either: either.map((things) => things.map(bareThing)) }),
    requires,
  };
}

function availabilityOf(
  plan: Plan,
  group: Group,
  planned: readonly StatedPath['requires'][],
  paths: readonly PathWithNeeds[] | undefined,
): {
  readonly figures: Pick<GroupResult, 'availability'> | Record<string, never>;
  readonly reasons: string[];
} {
  const asPlanned = groupAvailability(planned, group.need, plan.availability);
  if (asPlanned.kind === 'none') return { figures: {}, reasons: [] };
  if (asPlanned.kind === 'lacking') return { figures: {}, reasons: [asPlanned.reason] };
  const reasons =
    asPlanned.leftOut.length === 0
      ? []
      : [`The availability counts no failures of kind ${list(asPlanned.leftOut)}: no figure is stated.`];
  if (paths === undefined) return { figures: { availability: { planned: asPlanned.value } }, reasons };
  if (paths.some((path) => path.state === 'unproven')) {
    reasons.push('No availability as found: some paths are unproven.');
    return { figures: { availability: { planned: asPlanned.value } }, reasons };
  }
  const live = paths.filter((path) => path.state === 'live').map((path) => path.requires);
  const found = groupAvailability(live, group.need, plan.availability);
  const value = found.kind === 'value' ? found.value : live.length < group.need ? 0 : undefined;
  return {
    figures: { availability: { planned: asPlanned.value, ...(value === undefined ? {} : { found: value }) } },
    reasons: found.kind === 'lacking' ? [...reasons, found.reason] : reasons,
  };
}
