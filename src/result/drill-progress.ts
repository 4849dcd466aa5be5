/** How far the pull tests of a result came. Pure. */
import type { DrillRecord, Evidence } from '../sighting/types.js';

export interface DrillProgress {
  readonly done: number;
  readonly of: number;
}

/**
 * The pull tests that were not carried through: aborted, with steps skipped, or with steps of which too little could be watched. A step that a later run repeated is done; a pull test
 * that another run carried through is done as a whole. Undefined where nothing is left over, or nothing was pulled.
 */
export function unfinishedDrill(evidence: readonly Evidence[]): DrillProgress | undefined {
  const drills = evidence.map(({ drills: records }) => records).filter((records) => records.length > 0);
  const pulled = new Set(drills.flat().filter(wasPulled).map(keyOf));
  const told = drills.map((records) => {
    const steps = new Set(records.map(keyOf));
    const done = [...steps].filter((step) => pulled.has(step)).length;
    const all = Math.max(steps.size, ...records.map(({ ofSteps }) => ofSteps ?? 0));
    // What the program left out because nobody could see it from there is told, and is no unfinished work.
    const left = [...steps].filter((step) => !pulled.has(step) && isLeftOut(step, records)).length;
    return { steps, done, of: all - left };
  });
  const open = told.filter(
    (one) =>
      one.done < one.of &&
      !told.some(
        (other) =>
          other.done >= other.of &&
          other.of >= one.of &&
          [...one.steps].every((step) => other.steps.has(step)),
      ),
  );
  const sum = (pick: (one: DrillProgress) => number) => open.reduce((all, one) => all + pick(one), 0);
  return open.length === 0 ? undefined : { done: sum(({ done }) => done), of: sum(({ of }) => of) };
}

function isLeftOut(step: string, records: readonly DrillRecord[]): boolean {
  return records.filter((record) => keyOf(record) === step).every(({ why }) => why === 'not-watched');
}

function wasPulled({ outcome }: DrillRecord): boolean {
  return outcome !== 'skipped' && outcome !== 'aborted' && outcome !== 'unproven';
}

function keyOf({ group, pulled }: DrillRecord): string {
  return [group, pulled.kind, pulled.name].join('\u0000');
}
