/** Redundancy of a plan and of a site (DESIGN 6). Pure. */
import type { Finding } from '../findings/index.js';
import type { GroupResult } from '../matrix/matrix.js';
import type { Group, Plan } from '../plan/model.js';
import { planFindings, siteFindings } from './findings.js';
import { assessGroup, type EndpointLiveness, type PairMeasured } from './group.js';
import { inferGroups } from './infer.js';

export type { EndpointLiveness, PairMeasured } from './group.js';
export { inferGroups } from './infer.js';

/** The groups of the plan, and those that common practice suggests for endpoints without one. */
function allGroups(plan: Plan): Group[] {
  return [...plan.groups, ...inferGroups(plan)];
}

/**
 * As found on site. An endpoint that `liveness` does not have is unproven. `pairs`: what was measured over each pair of a host port and an
 * array port, by the name of the path. Findings: redundancy only, not the plan's.
 */
export function assessGroups(
  plan: Plan,
  liveness: ReadonlyMap<string, EndpointLiveness>,
  pairs: ReadonlyMap<string, PairMeasured> = new Map(),
): { groups: GroupResult[]; findings: Finding[] } {
  const groups = allGroups(plan);
  const assessed = groups.map((group) => assessGroup(plan, group, groups, { liveness, pairs }));
  return {
    groups: assessed.map(({ result }) => result),
    findings: assessed.flatMap((group) => siteFindings(plan, group, liveness)),
  };
}

/** The plan alone: verdicts as if everything were cabled as planned and worked. */
export function reviewGroups(plan: Plan): { groups: GroupResult[]; findings: Finding[] } {
  const groups = allGroups(plan);
  const assessed = groups.map((group) => assessGroup(plan, group, groups));
  return { groups: assessed.map(({ result }) => result), findings: assessed.flatMap(planFindings) };
}
