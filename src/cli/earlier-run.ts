/** What `--resume DIR` finds: the journal of a run that was cut off, its result, or both. */
import { lstat } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Entry } from '../run/journal-entry.js';
import {
  answersOfEvidence,
  answersOfJournal,
  type EarlierAnswers,
  onlyEvidence,
  type RunScope,
} from '../run/resume.js';
import type { Attestation, DrillRecord } from '../sighting/types.js';
import type { CliDeps } from './common.js';
import { endable } from './endable.js';
import { openRun } from './run-input.js';
import { readRunJournal } from './run-journal.js';

export interface EarlierRun {
  readonly folder: string;
  readonly runId: string;
  readonly scope: RunScope & { readonly stage: 'power-on' | 'configured' };
  readonly answers: EarlierAnswers;
  /** Empty where there is no journal. */
  readonly entries: readonly Entry[];
  readonly hasJournal: boolean;
  readonly planFile: string | undefined;
  readonly vantageName: string | undefined;
  /** Absent where a journal of an older version does not say it. */
  readonly from: readonly string[] | undefined;
  readonly onlyFrom: boolean | undefined;
  readonly survey: Matrix['survey'];
  readonly attestations: readonly Attestation[];
  readonly drills: readonly DrillRecord[];
}

/** The folder alone, so that it can be held before anything in it is read. */
export async function folderOfRun(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<string> {
  const place = path.resolve(deps.cwd, given);
  const facts = await lstat(place).catch(() => undefined);
  if (facts === undefined)
    throw new MatchmarkError('result-unreadable', `there is no run in ${given}`, {
      next: 'Name the folder that "matchmark check" wrote into.',
    });
  return facts.isFile() ? path.dirname(place) : place;
}

/** Throws MatchmarkError `result-unreadable` or `result-invalid` (exit 2) where a file of it is damaged. */
export function openEarlierRun(folder: string, deps: Pick<CliDeps, 'unguarded'>): Promise<EarlierRun> {
  return endable(deps, () => open(folder));
}

async function open(folder: string): Promise<EarlierRun> {
  const journal = await readRunJournal(folder);
  const hasResult = await lstat(path.join(folder, 'matrix.json')).then(
    () => true,
    () => false,
  );
  // Where neither is there, opening the run says so.
  const matrix =
    journal !== undefined && !hasResult ? undefined : (await openRun(folder, { cwd: folder })).matrix;
  const evidence = matrix === undefined ? undefined : onlyEvidence(matrix);
  const carried = { attestations: evidence?.attestations ?? [], drills: evidence?.drills ?? [] };
  // A folder may have been used for another run since; the journal is of the run that was under way.
  if (journal !== undefined) {
    const { head, entries } = journal;
    return {
      folder,
      runId: head.runId,
      scope: { files: head.files, stage: head.stage, only: head.only },
      answers: answersOfJournal(entries, head.startedAt),
      entries,
      hasJournal: true,
      planFile: head.planFile,
      vantageName: head.vantageName,
      from: head.from,
      onlyFrom: head.onlyFrom,
      survey: head.survey,
      ...(matrix?.run.id === head.runId ? carried : { attestations: [], drills: [] }),
    };
  }
  if (matrix === undefined || evidence === undefined)
    throw new MatchmarkError('result-unreadable', `there is no run in ${folder}`);
  return {
    folder,
    runId: matrix.run.id,
    scope: { files: matrix.plan.files, stage: matrix.run.stage, only: matrix.run.only },
    answers: answersOfEvidence(evidence),
    entries: [],
    hasJournal: false,
    planFile: undefined,
    vantageName: undefined,
    from: [...new Set(matrix.evidence.flatMap(({ vantage }) => vantage.from ?? []))],
    onlyFrom: undefined,
    survey: matrix.survey,
    ...carried,
  };
}
