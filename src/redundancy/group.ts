/** One group -> its result: paths with their things, verdict, single points, pairs, the same as planned, availability. */

import type { GroupResult, PathResult } from '../matrix/matrix.js';
import type { Group, Plan } from '../plan/model.js';
import { list } from '../text/sentence.js';
import { groupAvailability } from './availability.js';
import { type GroupPaths, lookupOf, pathsOf } from './paths.js';
import { intentReasons, stateReasons } from './reasons.js';
import { bareThing } from './things.js';
import { countedThings, type GroupJudgement, judgePaths, type StatedPath } from './verdict.js';

/** What the judge knows of one endpoint as the end of a path. */
export interface EndpointLiveness {
  readonly state: 'live' | 'dead' | 'unproven';
  readonly why?: string | undefined;
  /** The switch where the forwarding table or LLDP shows it. */
  readonly measuredSwitch?: string | undefined;
  readonly measuredSpeedMbps?: number | undefined;
}

export interface AssessedGroup {
  readonly result: GroupResult;
  readonly planned: GroupPaths;
  readonly asPlanned: GroupJudgement;
  readonly found: GroupJudgement;
}

/** `liveness` absent: the plan alone, judged as if everything worked. */
export function assessGroup(
  plan: Plan,
  group: Group,
  groups: readonly Group[],
  liveness?: ReadonlyMap<string, EndpointLiveness>,
): AssessedGroup {
  const planned = pathsOf(group, groups, lookupOf(plan));
  const requirements = planned.paths.map((path) => path.requires);
  const { counts, sharedNetworks } = countedThings(planned.promised, requirements);
  const asPlanned = judgePaths(
    requirements.map((requires) => ({ requires, state: 'live' as const })),
    group.need,
    counts,
  );
  const paths = liveness === undefined ? undrivenPaths(planned) : foundPaths(plan, group, groups, liveness);
  const found = liveness === undefined ? asPlanned : judgePaths(paths.map(asStated), group.need, counts);
  const result: GroupResult = {
    name: group.name,
    need: group.need,
    basis: 'planned',
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
  const availability = availabilityOf(plan, group, requirements, liveness === undefined ? undefined : paths);
  const reasons = [
    ...stateReasons(planned, paths, found, liveness === undefined),
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

type PathWithNeeds = PathResult & { readonly requires: StatedPath['requires'] };

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
  liveness: ReadonlyMap<string, EndpointLiveness>,
): PathWithNeeds[] {
  const measured = new Map<string, string>();
  for (const [id, { measuredSwitch }] of liveness)
    if (measuredSwitch !== undefined) measured.set(id, measuredSwitch);
  return pathsOf(group, groups, lookupOf(plan, measured)).paths.map((path) => {
    const ends = path.endpoints.map((id) => ({ id, ...stateOf(id, liveness) }));
    const worst =
      ends.find((end) => end.state === 'dead') ?? ends.find((end) => end.state === 'unproven') ?? ends[0];
    const why = worst?.why === undefined || ends.length === 1 ? worst?.why : `${worst.id}: ${worst.why}`;
    return {
      ...shape(path.id, path.endpoints, path.requires),
      state: worst?.state ?? 'unproven',
      ...(why === undefined ? {} : { why }),
    };
  });
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
