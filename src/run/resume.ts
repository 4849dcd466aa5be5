/** What an interrupted run had settled, so that the next one asks only the rest. Pure. */
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { evidenceOf } from '../result/build.js';
import type { AddressSighting } from '../sighting/types.js';

export interface Settled {
  readonly sightings: readonly AddressSighting[];
  readonly startedAt: string;
}

/** Throws MatchmarkError `usage` where the earlier run was of another plan, stage or scope, or of several places. */
export function settledIn(
  earlier: Matrix,
  now: { readonly plan: Plan; readonly stage: string; readonly only?: readonly string[] | undefined },
): Settled {
  const digests = (files: Plan['files']): string =>
    files
      .map(({ sha256 }) => sha256)
      .sort()
      .join();
  if (digests(earlier.plan.files) !== digests(now.plan.files))
    throw mismatch('the plan has changed since', 'Run the check anew, without --resume.');
  if (earlier.run.stage !== now.stage)
    throw mismatch(`it was run at stage ${earlier.run.stage}`, `Add --stage ${earlier.run.stage}.`);
  if ([...(earlier.run.only ?? [])].sort().join() !== [...(now.only ?? [])].sort().join())
    throw mismatch('it was run with another --only', 'Give the same --only as then.');
  const [evidence, ...others] = evidenceOf(earlier);
  if (evidence === undefined || others.length > 0)
    throw mismatch('it joins several places', 'Resume one of the runs that were combined.');
  return { sightings: evidence.sightings.filter(isWhole), startedAt: evidence.startedAt };
}

function mismatch(why: string, next: string): MatchmarkError {
  return new MatchmarkError('usage', `that run cannot be resumed: ${why}`, { next });
}

/** No question of it was cut short. Every probe says "interrupted" where it was. */
function isWhole(sighting: AddressSighting): boolean {
  return !JSON.stringify(sighting).includes('"reason":"interrupted"');
}
