/** One group -> its result: paths with their things, verdict, single points, pairs, the same as planned, availability. */
import type { Group, Plan } from '../plan/model.js';
import type { GroupResult, PathResult } from '../result/matrix.js';
import { count, list } from '../text/sentence.js';
import { groupAvailability } from './availability.js';
import { type GroupPaths, lookupOf, pathsOf } from './paths.js';
import { bareThing, describeThing } from './things.js';
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

function stateReasons(
  planned: GroupPaths,
  paths: readonly PathResult[],
  found: GroupJudgement,
  planAlone: boolean,
): string[] {
  const { need } = planned.group;
  const total = paths.length;
  const reasons: string[] = [];
  if (planned.why !== undefined) reasons.push(`No path is planned: ${planned.why}.`);
  if (planAlone) reasons.push(`${count(total, 'path')} planned, ${need} needed; nothing was measured.`);
  else {
    const of = (state: PathResult['state']) => paths.filter((path) => path.state === state).length;
    const parts = [`${of('live')} live`, `${of('dead')} dead`, `${of('unproven')} unproven`];
    reasons.push(`${count(total, 'path')} planned, ${need} needed: ${list(parts)}.`);
  }
  if (found.noSpare)
    reasons.push(
      found.verdict === 'at-risk' ? 'No path may fail: there is none to spare.' : 'No path to spare.',
    );
  if (found.unlessUnproven.length > 0) {
    const things = list(found.unlessUnproven.map(describeThing));
    reasons.push(
      `Of the paths proven so far all that are needed run through ${things}; the unproven ones would lead around.`,
    );
  }
  return reasons;
}

function intentReasons(planned: GroupPaths, sharedNetworks: readonly string[]): string[] {
  const reasons = sharedNetworks.map(
    (name) =>
      `All paths share the network ${name}; the plan does not ask for separate networks, so it is not counted as a single point.`,
  );
  for (const kind of planned.promised) {
    const without = planned.paths.filter(
      (path) => !path.requires.flat().some((thing) => thing.kind === kind),
    );
    if (without.length > 0)
      reasons.push(
        `The plan asks for an independent ${kind} and does not say which one ${list(without.map((path) => path.id))} ${without.length === 1 ? 'uses' : 'use'}.`,
      );
  }
  if (planned.group.inferred)
    reasons.push(
      'Nobody wrote this group: ports of the same name on several controllers suggest it (common practice).',
    );
  return reasons;
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
