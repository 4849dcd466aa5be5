/** What a step proved: from the gaps of its endpoints to the outcome that goes into the matrix. Pure. */
import type { GroupResult } from '../matrix/matrix.js';
import type { DrillRecord } from '../sighting/types.js';
import type { Gap } from './gap-meter.js';
import type { DrillStep } from './plan.js';
import { watchedPaths } from './watchable.js';

export interface Downtime {
  readonly startMs: number;
  readonly endMs: number;
}

/**
 * Times in which fewer than `need` paths of the group worked; the last may go on. A path works while none of its endpoints
 * has a gap.
 */
export function groupDowntime(group: GroupResult, gaps: readonly Gap[]): Downtime[] {
  const live = group.paths.filter((path) => path.state === 'live');
  const lastMs = Math.max(...gaps.map((gap) => gap.endMs));
  // A gap that is still open goes on past its last sample.
  const ends = (gap: Gap) => (gap.returned ? gap.endMs : Number.POSITIVE_INFINITY);
  const edges = [...new Set(gaps.flatMap((gap) => [gap.startMs, ends(gap)]))].sort((a, b) => a - b);
  const periods: Downtime[] = [];
  for (const [index, startMs] of edges.entries()) {
    const next = edges[index + 1];
    if (next === undefined) break;
    const down = new Set(
      gaps.filter((gap) => gap.startMs <= startMs && ends(gap) > startMs).map((gap) => gap.endpoint),
    );
    if (live.filter((path) => !path.endpoints.some((id) => down.has(id))).length >= group.need) continue;
    const endMs = Math.min(next, lastMs);
    const before = periods.at(-1);
    if (before?.endMs === startMs) periods[periods.length - 1] = { startMs: before.startMs, endMs };
    else periods.push({ startMs, endMs });
  }
  return periods;
}

/**
 * survived: something went away and enough watched paths went on (or nothing was expected to go, and nothing did). lost: the group
 * fell below what it needs. not-noticed: what should have gone away, and was watched, never did, so another thing was pulled than
 * was said, or the plan does not show what hangs on it. unproven: too little of it could be watched from here to tell.
 */
export function judgeStep(
  step: DrillStep,
  group: GroupResult,
  gaps: readonly Gap[],
  watched: ReadonlySet<string>,
): Extract<DrillRecord['outcome'], 'survived' | 'lost' | 'not-noticed' | 'unproven'> {
  if (groupDowntime(group, gaps).length > 0) return 'lost';
  if (step.affected.length > 0) {
    if (!step.affected.some((id) => watched.has(id))) return 'unproven';
    if (!gaps.some((gap) => step.affected.includes(gap.endpoint))) return 'not-noticed';
  }
  const seen = { ...group, paths: watchedPaths(group, watched) };
  const wentOn = seen.paths.length >= group.need && groupDowntime(seen, gaps).length === 0;
  return wentOn ? 'survived' : 'unproven';
}

export interface StepTimes {
  readonly by: string;
  /** ISO 8601 UTC. */
  readonly startedAt: string;
  readonly finishedAt: string;
  readonly resolutionMs: number;
}

export function recordStep(
  step: DrillStep,
  gaps: readonly Gap[],
  times: StepTimes,
  outcome: DrillRecord['outcome'],
): DrillRecord {
  return {
    group: step.group,
    pulled: step.pull,
    outcome,
    ...times,
    gaps: gaps.map(({ endpoint, gapMs, returned }) => ({ endpoint, gapMs, returned })),
  };
}
