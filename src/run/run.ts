/** The main job: plan -> review -> look -> judge -> result. The one place that joins the pure core and the network. */

import type { Matrix } from '../matrix/matrix.js';
import type { Survey } from '../matrix/survey.js';
import { makerOf } from '../plan/maker.js';
import type { Plan } from '../plan/model.js';
import { reviewGroups } from '../redundancy/index.js';
import { buildMatrix } from '../result/build.js';
import { reviewPlan } from '../review/review.js';
import { createCeilings } from '../sighting/ceilings.js';
import type { Evidence } from '../sighting/types.js';
import { judge } from '../verdicts/judge.js';
import { cutOff, type Entry } from './journal-entry.js';
import { type ObserveDeps, type ObserveRequest, observe, type Progress } from './observe.js';

export interface CheckRequest extends ObserveRequest {
  readonly runId: string;
  readonly version: string;
  /** Who looks, for the page. */
  readonly by?: string | undefined;
  readonly survey?: Survey | undefined;
  /** Looks from other places meanwhile. Must not reject. */
  readonly elsewhere?: ((signal: AbortSignal) => Promise<readonly Evidence[]>) | undefined;
  /** False: this laptop does not look itself. */
  readonly here?: boolean | undefined;
}

export async function runCheck(
  request: CheckRequest,
  deps: ObserveDeps,
  signal: AbortSignal,
  onProgress?: (progress: Progress) => void,
): Promise<Matrix> {
  const { plan } = request;
  const review = fullReview(plan);
  const [own, others] = await Promise.all([
    request.here === false ? undefined : observe(request, deps, signal, onProgress),
    request.elsewhere?.(signal) ?? [],
  ]);
  const { attestations = [], drills = [] } = request.carried ?? {};
  // All other places together fill no more than this laptop's own look may.
  const ceilings = createCeilings();
  const bounded = others.map((one) => ceilings.evidence(one));
  const [first, ...rest] = bounded;
  const evidence =
    own === undefined && first !== undefined ? [{ ...first, attestations, drills }, ...rest] : bounded;
  // A place that was cut short by itself is said and keeps its gaps; one that was cut short by the end of the run can be gone on with.
  const complete = (own?.complete ?? true) && (request.elsewhere === undefined || !signal.aborted);
  return judgeRun(request, review, own === undefined ? evidence : [own, ...evidence], complete);
}

/** Everything that can be known wrong offline, redundancy as planned included. */
export function fullReview(plan: Plan): ReturnType<typeof reviewPlan> & Pick<Matrix, 'groups'> {
  const { findings, capacity } = reviewPlan(plan);
  const planned = reviewGroups(plan);
  return { findings: [...findings, ...planned.findings], capacity, groups: planned.groups };
}

/** The result of what was seen before a run was cut off; undefined where nothing was. */
export function cutOffMatrix(
  request: CheckRequest,
  entries: readonly Entry[],
  finishedAt: string,
): Matrix | undefined {
  const seen = cutOff(entries, request, finishedAt);
  const { attestations = [], drills = [] } = request.carried ?? {};
  const evidence = seen === undefined ? undefined : { ...seen, attestations, drills };
  return evidence === undefined ? undefined : judgeRun(request, fullReview(request.plan), [evidence], false);
}

function judgeRun(
  request: CheckRequest,
  review: ReturnType<typeof fullReview>,
  evidence: readonly Evidence[],
  complete: boolean,
): Matrix {
  const { plan, survey } = request;
  const judgement = judge(plan, evidence, {
    review: review.findings,
    makerOf,
    ...(survey === undefined ? {} : { survey }),
  });
  return buildMatrix({
    run: {
      id: request.runId,
      complete,
      stage: request.stage,
      version: request.version,
      ...(request.only === undefined ? {} : { only: request.only }),
      ...(request.by === undefined ? {} : { by: request.by }),
    },
    plan,
    evidence,
    judgement,
    review: review.findings,
    capacity: review.capacity,
    survey,
  });
}
