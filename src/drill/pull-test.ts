/** Runs a pull test: says what to pull, waits for it, measures, waits for the return, goes on. The core is src/drill. */

import type { GroupResult } from '../matrix/matrix.js';
import type { Clock } from '../probe/types.js';
import type { Sleep } from '../run/pace.js';
import type { DrillRecord } from '../sighting/types.js';
import type { Commands } from './commands.js';
import { type DrillStep, GapMeter, judgeStep, type Pull, pullsOf, recordStep } from './index.js';
import type { Sampler } from './sampler.js';

export type DrillEvent =
  | {
      readonly event: 'pull';
      readonly pull: Pull;
      readonly number: number;
      readonly of: number;
      readonly unwatched: readonly string[];
      /** Did not answer when last asked. */
      readonly away: readonly string[];
    }
  | { readonly event: 'gone'; readonly endpoint: string }
  | { readonly event: 'back'; readonly endpoint: string }
  | { readonly event: 'restore'; readonly pull: Pull }
  | { readonly event: 'measured'; readonly record: DrillRecord }
  | { readonly event: 'ask'; readonly pull: Pull };

export interface DrillDeps {
  readonly sampler: Sampler;
  /** Endpoints that the sampler asks. */
  readonly watched: ReadonlySet<string>;
  readonly commands: Commands;
  readonly clock: Clock;
  readonly sleep: Sleep;
  readonly say: (event: DrillEvent) => void;
}

export interface DrillRequest {
  readonly steps: readonly DrillStep[];
  /** Steps of the whole pull test, those that are not done now included. */
  readonly ofSteps: number;
  readonly groups: readonly GroupResult[];
  readonly by: string;
  /** How long the rest of the group is watched after something went away. */
  readonly holdMs: number;
  /** Longest wait for a pull and for a return; absent: as long as it takes. */
  readonly waitMs?: number | undefined;
}

export interface DrillOutcome {
  readonly records: readonly DrillRecord[];
  readonly aborted: boolean;
}

const LOOK_EVERY_MS = 20;

export async function runDrill(
  request: DrillRequest,
  deps: DrillDeps,
  signal: AbortSignal,
): Promise<DrillOutcome> {
  const records: DrillRecord[] = [];
  const pulls = pullsOf(request.steps);
  for (const [index, pull] of pulls.entries()) {
    let again = true;
    while (again) {
      const made = await runPull(pull, { number: index + 1, of: pulls.length }, request, deps, signal);
      for (const record of made) deps.say({ event: 'measured', record });
      const [{ outcome } = { outcome: 'aborted' }] = made;
      const over = outcome === 'aborted' || signal.aborted;
      const choice = over ? 'abort' : outcome === 'skipped' ? 'next' : await choose(pull, deps, signal);
      again = choice === 'repeat';
      if (!again) records.push(...made);
      if (choice === 'abort') return { records, aborted: true };
    }
  }
  return { records, aborted: false };
}

/** After a step: go on, do it again, or stop. A pipe that has ended goes on. */
async function choose(
  pull: Pull,
  deps: DrillDeps,
  signal: AbortSignal,
): Promise<'next' | 'repeat' | 'abort'> {
  deps.say({ event: 'ask', pull });
  while (!signal.aborted && !deps.commands.ended()) {
    const command = deps.commands.take();
    if (command === 'abort' || command === 'repeat') return command;
    if (command !== undefined) return 'next';
    await deps.sleep(LOOK_EVERY_MS, signal);
  }
  return signal.aborted ? 'abort' : 'next';
}

/** A record for each group that the pull tests. */
async function runPull(
  pull: Pull,
  place: { readonly number: number; readonly of: number },
  request: DrillRequest,
  deps: DrillDeps,
  signal: AbortSignal,
): Promise<readonly DrillRecord[]> {
  const { sampler, clock, say, watched } = deps;
  const concerned = [...pull.affected, ...pull.survivors];
  const meter = new GapMeter(sampler.resolutionMs);
  const startedAt = clock.date().toISOString();
  const up = new Set<string>();
  const down = new Set<string>();
  sampler.onSample((sample) => {
    if (!concerned.includes(sample.endpoint)) return;
    meter.feed(sample);
    if (sample.up) {
      up.add(sample.endpoint);
      if (down.delete(sample.endpoint)) say({ event: 'back', endpoint: sample.endpoint });
    } else if (up.delete(sample.endpoint)) {
      // Only what answered during this step can go away in it.
      down.add(sample.endpoint);
      say({ event: 'gone', endpoint: sample.endpoint });
    }
  });
  const finish = (outcome?: 'skipped' | 'aborted'): readonly DrillRecord[] => {
    sampler.onSample(undefined);
    const times = {
      by: request.by,
      startedAt,
      finishedAt: clock.date().toISOString(),
      resolutionMs: Math.max(sampler.resolutionMs, meter.resolutionMs()),
    };
    return pull.steps.map((step) => {
      const group = groupOf(step, request);
      const own = new Set(group.paths.flatMap(({ endpoints }) => endpoints));
      const gaps = meter.gaps().filter(({ endpoint }) => own.has(endpoint));
      return {
        ...recordStep(step, gaps, times, outcome ?? judgeStep(step, group, gaps, watched)),
        ofSteps: request.ofSteps,
      };
    });
  };
  const unwatched = concerned.filter((endpoint) => !watched.has(endpoint));
  const away = concerned.filter((endpoint) => sampler.isUp(endpoint) === false);
  say({ event: 'pull', pull, ...place, unwatched, away });

  const expected = pull.affected.filter((endpoint) => watched.has(endpoint));
  const pulled = await waitFor(() => expected.some((endpoint) => down.has(endpoint)), request, deps, signal);
  if (pulled === 'skip') return finish('skipped');
  if (pulled === 'abort') return finish('aborted');
  await deps.sleep(request.holdMs, signal);
  if (signal.aborted) return finish('aborted');
  say({ event: 'restore', pull });
  const returned = await waitFor(() => expected.length > 0 && down.size === 0, request, deps, signal);
  return returned === 'abort' ? finish('aborted') : finish();
}

function groupOf(step: DrillStep, { groups }: DrillRequest): GroupResult {
  const group = groups.find(({ name }) => name === step.group);
  if (group === undefined) throw new Error(`no group ${step.group} in this run`);
  return group;
}

/** `happened` also where the person says that it is done, or the wait is over. */
async function waitFor(
  happened: () => boolean,
  request: DrillRequest,
  { commands, clock, sleep }: DrillDeps,
  signal: AbortSignal,
): Promise<'happened' | 'skip' | 'abort'> {
  const until = clock.now() + (request.waitMs ?? Number.POSITIVE_INFINITY);
  while (!happened()) {
    if (signal.aborted) return 'abort';
    const command = commands.take();
    if (command === 'skip' || command === 'abort') return command;
    if (command === 'next' || clock.now() >= until) return 'happened';
    await sleep(LOOK_EVERY_MS, signal);
  }
  return 'happened';
}
