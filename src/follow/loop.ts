/** Looks again and again: quick looks at all, a full look at what changed, and at everything every so often. */

import type { Matrix } from '../matrix/matrix.js';
import { evidenceOf } from '../result/build.js';
import { type ObserveDeps, observe, type Progress } from '../run/observe.js';
import { realSleep, type Sleep } from '../run/pace.js';
import { rejudge } from '../run/rejudge.js';
import { type CheckRequest, runCheck } from '../run/run.js';
import type { Evidence } from '../sighting/types.js';
import { type Change, changesBetween, verdictChanges } from './changes.js';
import { mergeEvidence } from './merge.js';
import { QUICK_PATIENCES, quickLook } from './quick-look.js';
import { devicesToAsk, siteState } from './state.js';

export interface FollowRequest extends CheckRequest {
  /** From the end of one look to the start of the next. */
  readonly intervalMs: number;
  /** Looks in all, the first full one included; absent: until the signal aborts. */
  readonly rounds?: number | undefined;
  /** Every so many looks, all is asked in full. */
  readonly fullEvery: number;
}

export interface FollowWorld {
  /** Made anew for each look: cables and addresses of the laptop itself change, too. */
  readonly deps: () => ObserveDeps;
  readonly sleep?: Sleep | undefined;
  readonly onProgress: (progress: Progress) => void;
  readonly onChanges: (changes: readonly Change[], at: Date) => void;
  /** The result as it stands, after each look; `round` counts from 1. */
  readonly onLook: (matrix: Matrix, round: number) => void;
}

/** Gives the last result that is whole; an incomplete one only where the first look was cut short. */
export async function followSite(
  request: FollowRequest,
  world: FollowWorld,
  signal: AbortSignal,
): Promise<Matrix> {
  const { plan } = request;
  let matrix = await runCheck(request, world.deps(), signal, world.onProgress);
  let evidence = evidenceOf(matrix)[0];
  if (!matrix.run.complete || evidence === undefined) return matrix;
  let state = siteState(plan, evidence);
  world.onLook(matrix, 1);

  /** Says what a look has changed; gives the subjects concerned. */
  const take = (look: Evidence, at: Date): Set<string> => {
    const now = siteState(plan, look);
    const changes = changesBetween(state, now);
    state = new Map([...state, ...now]);
    if (changes.length > 0) world.onChanges(changes, at);
    return new Set(changes.map(({ subject }) => subject));
  };
  const settle = (whole: Evidence, at: Date): void => {
    evidence = whole;
    const judged = rejudge(matrix, [whole]);
    const after = { ...judged, run: { ...judged.run, finishedAt: whole.finishedAt } };
    const changes = verdictChanges(matrix, after);
    matrix = after;
    if (changes.length > 0) world.onChanges(changes, at);
  };

  for (let round = 2; round <= (request.rounds ?? Number.POSITIVE_INFINITY); round += 1) {
    await (world.sleep ?? realSleep)(request.intervalMs, signal);
    if (signal.aborted) return matrix;
    const full = round % request.fullEvery === 0;
    const deps = world.deps();
    const look = full
      ? await observe(request, deps, signal)
      : await observe({ ...request, patiences: QUICK_PATIENCES }, quickLook(deps), signal);
    if (signal.aborted) return matrix;
    const changed = take(look, deps.clock.date());
    if (full) settle({ ...look, startedAt: evidence.startedAt }, deps.clock.date());
    else if (changed.size > 0) {
      const only = [...devicesToAsk(plan, changed)].filter((name) => request.only?.includes(name) ?? true);
      const closer = await observe({ ...request, only }, deps, signal);
      if (signal.aborted) return matrix;
      take(closer, deps.clock.date());
      settle(mergeEvidence(evidence, closer), deps.clock.date());
    }
    world.onLook(matrix, round);
  }
  return matrix;
}
