/**
 * The other places of a follow: each is looked from again and again, beside the laptop or alone. Its pulse tells at once who went and who
 * came, and calls for a closer look from there.
 */

import type { Matrix } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { within } from '../probe/bound.js';
import { evidenceOf } from '../result/build.js';
import { realSleep, type Sleep } from '../run/pace.js';
import { rejudge } from '../run/rejudge.js';
import { createCeilings } from '../sighting/ceilings.js';
import type { Evidence } from '../sighting/types.js';
import { type Change, verdictChanges } from './changes.js';
import { mergeEvidence } from './merge.js';
import { type PulseElsewhere, placePulses } from './place-pulses.js';
import { devicesToAsk } from './state.js';

/** `closer`: from these places (`ssh://...`) alone, at these devices alone. */
export type LookElsewhere = (
  signal: AbortSignal,
  closer?: { readonly from: readonly string[]; readonly devices: readonly string[] },
) => Promise<readonly Evidence[]>;

interface PlacesRequest {
  readonly plan: Plan;
  readonly elsewhere: LookElsewhere;
  readonly pulse?: PulseElsewhere | undefined;
  /** Devices that this run is about; absent: all. */
  readonly only?: readonly string[] | undefined;
  readonly intervalMs: number;
}

interface PlacesWorld {
  readonly sleep?: Sleep | undefined;
  readonly onChanges: (changes: readonly Change[]) => void;
  /** `whole`: not a closer look. */
  readonly onLook: (evidence: readonly Evidence[], whole: boolean) => void;
}

/** `first`: what the places told in the look before. Until the signal aborts; a look that was cut off by that is not told. */
export async function keepLooking(
  first: readonly Evidence[],
  { plan, elsewhere, pulse, only, intervalMs }: PlacesRequest,
  { sleep = realSleep, onChanges, onLook }: PlacesWorld,
  signal: AbortSignal,
): Promise<void> {
  let places = first;
  let wake = within(signal);
  /** Subjects that a pulse told of and that nobody has looked at more closely since, by place. */
  const called = new Map<string, Set<string>>();
  const pulses = placePulses(plan, pulse, signal, (from, changes) => {
    called.set(from, new Set([...(called.get(from) ?? []), ...changes.map(({ subject }) => subject)]));
    onChanges(changes);
    wake.end();
  });
  const look = async (closer?: Parameters<LookElsewhere>[1]): Promise<void> => {
    const beganMs = performance.now();
    const told = await elsewhere(signal, closer);
    if (signal.aborted) return;
    const ceilings = createCeilings();
    // A closer look that failed or broke off says nothing new: the next whole one does.
    const seen = told
      .map((one) => ceilings.evidence(one))
      .filter(({ failed, complete }) => closer === undefined || (failed === undefined && complete));
    places = closer === undefined ? seen : laidOver(places, seen);
    const changes = pulses.looked(seen, beganMs);
    pulses.keepUp(places);
    if (changes.length > 0) onChanges(changes);
    onLook(places, closer === undefined);
  };
  const lookCloser = (): Promise<void> => {
    const subjects = new Set([...called.values()].flatMap((each) => [...each]));
    const from = [...called.keys()];
    called.clear();
    const devices = [...devicesToAsk(plan, subjects)].filter((name) => only?.includes(name) ?? true);
    return look({ from, devices });
  };

  pulses.looked(first, performance.now());
  pulses.keepUp(first);
  while (!signal.aborted) {
    const untilMs = performance.now() + intervalMs;
    for (let leftMs = intervalMs; ; leftMs = untilMs - performance.now()) {
      wake = within(signal);
      if (called.size === 0) await sleep(leftMs, wake.signal);
      wake.end();
      if (signal.aborted) return;
      if (called.size === 0) break;
      await lookCloser();
    }
    await look();
  }
}

function laidOver(places: readonly Evidence[], closer: readonly Evidence[]): Evidence[] {
  return places.map((one) => {
    const again = closer.find(({ vantage }) => vantage.name === one.vantage.name);
    return again === undefined ? one : mergeEvidence(one, again);
  });
}

/** Where the laptop itself does not look: what changes is what the pulses and the verdicts tell. */
export async function followElsewhere(
  first: Matrix,
  request: Omit<PlacesRequest, 'elsewhere'> & {
    readonly elsewhere?: LookElsewhere | undefined;
    readonly rounds?: number | undefined;
  },
  world: {
    readonly now: () => Date;
    readonly sleep?: Sleep | undefined;
    readonly onChanges: (changes: readonly Change[], at: Date) => void;
    readonly onLook: (matrix: Matrix, round: number) => void;
  },
  signal: AbortSignal,
): Promise<Matrix> {
  const { elsewhere, rounds = Number.POSITIVE_INFINITY } = request;
  let matrix = first;
  let round = 1;
  world.onLook(matrix, round);
  if (elsewhere === undefined || round >= rounds) return matrix;
  const enough = within(signal);
  const places = evidenceOf(first);
  const kept = places[0];
  await keepLooking(
    places,
    { ...request, elsewhere },
    {
      sleep: world.sleep,
      onChanges: (changes) => world.onChanges(changes, world.now()),
      onLook: (evidence, whole) => {
        const judged = rejudge(
          matrix,
          evidence.map((one, index) =>
            index === 0 && kept !== undefined
              ? { ...one, attestations: kept.attestations, drills: kept.drills }
              : one,
          ),
        );
        const after = { ...judged, run: { ...judged.run, finishedAt: world.now().toISOString() } };
        const changes = verdictChanges(matrix, after);
        matrix = after;
        if (whole) round += 1;
        if (changes.length > 0) world.onChanges(changes, world.now());
        world.onLook(matrix, round);
        if (round >= rounds) enough.end();
      },
    },
    enough.signal,
  );
  return matrix;
}
