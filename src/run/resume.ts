/** What an interrupted run had settled, so that the next one asks only the rest. Pure. */
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { evidenceOf } from '../result/build.js';
import type { AddressSighting, Cause, Evidence } from '../sighting/types.js';
import { type Entry, type Gathered, gather, type PresenceFacts } from './journal-entry.js';

export interface EarlierAnswers {
  readonly sightings: readonly AddressSighting[];
  readonly startedAt: string;
  /** Absent: who is on the links was not settled for all, so that all are looked for once more. */
  readonly presence?: PresenceFacts | undefined;
  readonly links: Evidence['links'];
  readonly switches: Evidence['switches'];
  readonly fabrics: Evidence['fabrics'];
  readonly power: Evidence['power'];
}

/** What a run is told by. */
export interface RunScope {
  readonly files: Plan['files'];
  readonly stage: string;
  readonly only?: readonly string[] | undefined;
}

/** Throws MatchmarkError `usage` where the earlier run was of another plan, stage or scope. */
export function requireSameScope(earlier: RunScope, now: RunScope): void {
  const digests = (files: Plan['files']): string =>
    files
      .map(({ sha256 }) => sha256)
      .sort()
      .join();
  if (digests(earlier.files) !== digests(now.files))
    throw mismatch('the plan has changed since', 'Run the check anew, without --resume.');
  if (earlier.stage !== now.stage)
    throw mismatch(`it was run at stage ${earlier.stage}`, `Add --stage ${earlier.stage}.`);
  if ([...(earlier.only ?? [])].sort().join() !== [...(now.only ?? [])].sort().join())
    throw mismatch('it was run with another --only', 'Give the same --only as then.');
}

/**
 * What the laptop itself saw; the places that it looked from beside it (`--from`) are looked from anew. Throws MatchmarkError `usage` where
 * a result joins several laptops, or none.
 */
export function onlyEvidence(earlier: Matrix): Evidence {
  const [evidence, ...others] = evidenceOf(earlier).filter(({ vantage }) => vantage.from === undefined);
  if (evidence === undefined)
    throw mismatch('the laptop itself did not look in it', 'Run the check anew, without --resume.');
  if (others.length > 0)
    throw mismatch('it joins several places', 'Resume one of the runs that were combined.');
  return evidence;
}

export function answersOfEvidence(evidence: Evidence): EarlierAnswers {
  return wholeAnswers({ ...evidence, presence: undefined }, evidence.startedAt);
}

export function answersOfJournal(entries: readonly Entry[], startedAt: string): EarlierAnswers {
  const gathered = gather(entries);
  return wholeAnswers(gathered, gathered.startedAt ?? startedAt);
}

function wholeAnswers(seen: Omit<Gathered, 'vantage' | 'startedAt'>, startedAt: string): EarlierAnswers {
  const whole = <T extends { readonly cutBecause?: Cause | undefined }>(tables: readonly T[]): T[] =>
    tables.filter(({ cutBecause }) => cutBecause === undefined || !CUT_SHORT.has(cutBecause));
  return {
    sightings: seen.sightings.filter(isWhole),
    startedAt,
    ...(seen.presence === undefined ? {} : { presence: seen.presence }),
    links: whole(seen.links),
    switches: whole(seen.switches),
    fabrics: whole(seen.fabrics),
    power: seen.power,
  };
}

function mismatch(why: string, next: string): MatchmarkError {
  return new MatchmarkError('usage', `that run cannot be resumed: ${why}`, { next });
}

/** Why a question is worth asking again. `unknown`: a result of an older version, which did not say. */
const CUT_SHORT: ReadonlySet<Cause> = new Set<Cause>([
  'interrupted',
  'laptop-full',
  'program-fault',
  'unknown',
]);

/** No question of it was cut short. */
function isWhole(sighting: AddressSighting): boolean {
  return causesOf(sighting).every((cause) => !CUT_SHORT.has(cause));
}

/** This laptop could not put a question: the run is not complete, and can be gone on with. */
export function ranOut(sightings: readonly AddressSighting[]): boolean {
  return sightings.some((sighting) => causesOf(sighting).includes('laptop-full'));
}

function causesOf({ presence, icmp, tcp, proofs, snmp, mtu, iscsi }: AddressSighting): Cause[] {
  return [presence, icmp, ...tcp, ...proofs, snmp, mtu, iscsi].flatMap((answer) =>
    'cause' in answer && answer.cause !== undefined ? [answer.cause] : [],
  );
}
