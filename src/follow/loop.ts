/**
 * Looks again and again: quick looks at all, a full look at what changed, and at everything every so often. A pulse beside them tells at
 * once who went and who came, and calls for a closer look.
 */

import { setMaxListeners } from 'node:events';
import type { Matrix } from '../matrix/matrix.js';
import { within } from '../probe/bound.js';
import { keepPulse, type Pulse, pulseTargets } from '../pulse/pulse.js';
import { evidenceOf } from '../result/build.js';
import { type ObserveDeps, observe, type Progress } from '../run/observe.js';
import { DEFAULT_PACE, realSleep, type Sleep } from '../run/pace.js';
import { rejudge } from '../run/rejudge.js';
import { type CheckRequest, runCheck } from '../run/run.js';
import type { Evidence } from '../sighting/types.js';
import { type Change, changesBetween, verdictChanges } from './changes.js';
import { followElsewhere, keepLooking, type LookElsewhere } from './elsewhere.js';
import { laidOver, mergeEvidence } from './merge.js';
import type { PulseElsewhere } from './place-pulses.js';
import { QUICK_PATIENCES, quickLook } from './quick-look.js';
import { devicesToAsk, feltState, isNews, siteState, subjectsAt } from './state.js';

export interface FollowRequest extends CheckRequest {
  readonly elsewhere?: LookElsewhere | undefined;
  /** From the end of one look to the start of the next; longer where the looks would take more than a tenth of a core. */
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
  /** Asks each address something small every second; absent: the looks alone. */
  readonly pulse?: Pulse | undefined;
  /** The same from each of the other places. */
  readonly pulseElsewhere?: PulseElsewhere | undefined;
  /** Processor time of this program so far, in milliseconds; absent: looks may cost what they like. */
  readonly processorMs?: (() => number) | undefined;
  /** Before a look is told: how long the rest until the next will be. */
  readonly onRest?: ((restMs: number) => void) | undefined;
  readonly onProgress: (progress: Progress) => void;
  readonly onChanges: (changes: readonly Change[], at: Date) => void;
  /** The result as it stands, after each look; `round` counts from 1. */
  readonly onLook: (matrix: Matrix, round: number) => void;
}

/** So many times its processor time is rested after a quick look: with the look itself it stays below a tenth of a core. */
const REST_FOR_COST = 10;

/** Gives the last result that is whole; an incomplete one only where the first look was cut short. `onEntry` is told of that look alone. */
export async function followSite(
  given: FollowRequest,
  world: FollowWorld,
  signal: AbortSignal,
): Promise<Matrix> {
  const { onEntry: _, ...request } = given;
  const { plan } = request;
  const firstDeps = world.deps();
  const { clock } = firstDeps;
  const first = await runCheck(given, firstDeps, signal, world.onProgress);
  if (first.run.complete && request.here === false)
    return followElsewhere(
      first,
      { ...request, pulse: world.pulseElsewhere },
      { ...world, now: () => clock.date() },
      signal,
    );
  const [begun, ...elsewhere] = evidenceOf(first);
  if (!first.run.complete || begun === undefined) return first;
  let matrix = first;
  let evidence = begun;
  let others = elsewhere;
  let looks = 1;
  let state = siteState(plan, evidence);
  world.onLook(matrix, 1);

  const sleep = world.sleep ?? realSleep;
  /** Subjects that the pulse told of: when, and those that nobody has looked at more closely since. */
  const pulsedMs = new Map<string, number>();
  const called = new Set<string>();
  let wake = within(signal);

  /** Says what a look has changed; gives the subjects concerned. What the pulse told since it began is newer. */
  const take = (look: Evidence, at: Date, beganMs: number): Set<string> => {
    const seen = [...siteState(plan, look)].filter(([subject]) => (pulsedMs.get(subject) ?? 0) < beganMs);
    const now = new Map(seen);
    const changes = changesBetween(state, now);
    state = new Map([...state, ...now]);
    if (changes.length > 0) world.onChanges(changes, at);
    return new Set(changes.map(({ subject }) => subject));
  };
  const rejudgeWith = (whole: Evidence, at: Date): void => {
    evidence = whole;
    const judged = rejudge(matrix, [whole, ...others]);
    const after = { ...judged, run: { ...judged.run, finishedAt: whole.finishedAt } };
    const changes = verdictChanges(matrix, after);
    matrix = after;
    if (changes.length > 0) world.onChanges(changes, at);
  };
  const lookInFull = async (changed: ReadonlySet<string>, deps: ObserveDeps): Promise<void> => {
    const only = [...devicesToAsk(plan, changed)].filter((name) => request.only?.includes(name) ?? true);
    const beganMs = performance.now();
    const closer = await observe({ ...request, only }, deps, signal);
    if (signal.aborted) return;
    take(closer, deps.clock.date(), beganMs);
    rejudgeWith(mergeEvidence(evidence, closer), deps.clock.date());
  };
  const feel = (address: string, alive: boolean): void => {
    const subjects = subjectsAt(plan, address).filter((subject) => isNews(state.get(subject), alive));
    if (subjects.length === 0) return;
    for (const subject of subjects) {
      pulsedMs.set(subject, performance.now());
      called.add(subject);
      state.set(subject, feltState(alive));
    }
    const kind = alive ? 'answers' : 'silent';
    world.onChanges(
      subjects.map((subject) => ({ subject, kind })),
      clock.date(),
    );
    wake.end();
  };
  let restMs = request.intervalMs;
  /** Looks of this cost are kept to a tenth of a core. */
  const restAfter = (costMs: number): void => {
    restMs = Math.max(request.intervalMs, REST_FOR_COST * costMs);
    world.onRest?.(restMs);
  };
  /** Until the next look is due; what the pulse tells meanwhile is looked at more closely at once. */
  const rest = async (round: number): Promise<void> => {
    const untilMs = performance.now() + restMs;
    for (let leftMs = restMs; ; leftMs = untilMs - performance.now()) {
      wake = within(signal);
      if (called.size === 0) await sleep(leftMs, wake.signal);
      wake.end();
      if (signal.aborted || called.size === 0) return;
      const changed = new Set(called);
      called.clear();
      await lookInFull(changed, world.deps());
      if (signal.aborted) return;
      world.onLook(matrix, round);
    }
  };

  const stop = within(signal);
  const pulsing = stop.signal;
  // Every question of a pulse listens to it; Node would take more than ten for a leak and say so on the screen.
  setMaxListeners(0, pulsing);
  if (world.pulse !== undefined)
    void keepPulse(
      () => pulseTargets(plan, evidence),
      { ...world.pulse, framesPerSecond: (request.pace ?? DEFAULT_PACE).runPerSecond },
      realSleep,
      pulsing,
      feel,
    );
  if (request.elsewhere !== undefined)
    void keepLooking(
      elsewhere,
      { ...request, elsewhere: request.elsewhere, pulse: world.pulseElsewhere },
      {
        sleep,
        onChanges: (changes) => world.onChanges(changes, clock.date()),
        onLook: (looked) => {
          others = [...looked];
          rejudgeWith(evidence, clock.date());
          world.onLook(matrix, looks);
        },
      },
      pulsing,
    );
  try {
    for (let round = 2; round <= (request.rounds ?? Number.POSITIVE_INFINITY); round += 1) {
      await rest(round - 1);
      if (signal.aborted) return matrix;
      const full = round % request.fullEvery === 0;
      const deps = world.deps();
      const beganMs = performance.now();
      const costBefore = world.processorMs?.() ?? 0;
      const look = full
        ? await observe(request, deps, signal)
        : await observe({ ...request, patiences: QUICK_PATIENCES }, quickLook(deps), signal);
      if (signal.aborted) return matrix;
      if (!full) restAfter((world.processorMs?.() ?? 0) - costBefore);
      const changed = take(look, deps.clock.date(), beganMs);
      if (full) rejudgeWith(laidOver(evidence, look), deps.clock.date());
      else if (changed.size > 0) await lookInFull(changed, deps);
      if (signal.aborted) return matrix;
      looks = round;
      world.onLook(matrix, round);
    }
    return matrix;
  } finally {
    stop.end();
  }
}
