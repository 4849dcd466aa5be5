/** The other places of a follow: each is looked from again and again, beside the laptop or alone. */
import type { Matrix } from '../matrix/matrix.js';
import { evidenceOf } from '../result/build.js';
import { realSleep, type Sleep } from '../run/pace.js';
import { rejudge } from '../run/rejudge.js';
import { createCeilings } from '../sighting/ceilings.js';
import type { Evidence } from '../sighting/types.js';
import { type Change, verdictChanges } from './changes.js';

export type LookElsewhere = (signal: AbortSignal) => Promise<readonly Evidence[]>;

/** Calls `onLook` after each look from all places, until the signal aborts. A look that was cut off by that is not told. */
export async function keepLooking(
  look: LookElsewhere,
  intervalMs: number,
  signal: AbortSignal,
  onLook: (evidence: readonly Evidence[]) => void,
  sleep: Sleep = realSleep,
): Promise<void> {
  for (;;) {
    await sleep(intervalMs, signal);
    if (signal.aborted) return;
    const told = await look(signal);
    if (signal.aborted) return;
    const ceilings = createCeilings();
    onLook(told.map((one) => ceilings.evidence(one)));
  }
}

/** Where the laptop itself does not look: what changes is what the verdicts tell. */
export async function followElsewhere(
  first: Matrix,
  request: {
    readonly elsewhere?: LookElsewhere | undefined;
    readonly intervalMs: number;
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
  const enough = new AbortController();
  const kept = evidenceOf(first)[0];
  await keepLooking(
    elsewhere,
    request.intervalMs,
    AbortSignal.any([signal, enough.signal]),
    (evidence) => {
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
      round += 1;
      if (changes.length > 0) world.onChanges(changes, world.now());
      world.onLook(matrix, round);
      if (round >= rounds) enough.abort();
    },
    world.sleep,
  );
  return matrix;
}
