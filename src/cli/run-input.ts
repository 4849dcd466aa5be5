import { lstat } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { JOURNAL_NAME } from '../files/journal.js';
import type { Matrix } from '../matrix/matrix.js';
import { readMatrix } from '../matrix/read.js';
import { readOrdinaryFile } from '../system/ordinary-file.js';
import { cleanText } from '../text/clean.js';
import type { CliDeps } from './common.js';
import { endable } from './endable.js';
import { reasonOf } from './files.js';

export interface OpenedRun {
  readonly matrix: Matrix;
  readonly folder: string;
  /** The bytes as they stand on disk, for the digest. */
  readonly text: string;
}

/** Octets; a run of some four thousand endpoints is a tenth of it. */
export const LARGEST_RESULT_BYTES = 256 * 1024 * 1024;

const NEXT = 'Name the folder that "matchmark check" wrote, or the matrix.json in it.';

/** What the reading of a result needs of the world. */
export type ReadingDeps = Pick<CliDeps, 'cwd' | 'unguarded'>;

/** Opens a finished run: its folder, or the matrix.json in it. Ctrl-C ends the program at once meanwhile. */
export function openRun(given: string, deps: ReadingDeps): Promise<OpenedRun> {
  return endable(deps, () => open(given, path.resolve(deps.cwd, given)));
}

async function open(given: string, place: string): Promise<OpenedRun> {
  for (const file of [place, path.join(place, 'matrix.json')]) {
    try {
      const text = await readOrdinaryFile(file, LARGEST_RESULT_BYTES);
      return { matrix: readMatrix(text, given), folder: path.dirname(file), text };
    } catch (error) {
      if (error instanceof MatchmarkError) throw error;
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EISDIR') continue;
      if (code === 'ENOENT' && file !== place) break;
      throw new MatchmarkError('result-unreadable', `cannot read the run ${given}: ${reasonOf(error)}`, {
        cause: error,
        next: NEXT,
      });
    }
  }
  const begun = await lstat(path.join(place, JOURNAL_NAME)).catch(() => undefined);
  throw new MatchmarkError('result-unreadable', `there is no matrix.json in ${given}`, {
    next:
      begun === undefined
        ? NEXT
        : `A run was cut off there: "matchmark check --resume ${given}" goes on with it and keeps what it had seen.`,
  });
}

/** As relyingOn, for what is made in memory alone: Ctrl-C ends the program at once. */
export function derivedFrom<T>(
  names: readonly string[],
  deps: Pick<CliDeps, 'unguarded'>,
  work: () => T | Promise<T>,
): Promise<T> {
  return endable(deps, () => relyingOn(names, work));
}

/**
 * What is made of results that others may have handed over. Their shape was checked; where their parts still do not hold together,
 * that is said of them instead of calling it a fault of the program.
 */
export async function relyingOn<T>(names: readonly string[], work: () => T | Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (cause) {
    if (!(cause instanceof TypeError || cause instanceof RangeError)) throw cause;
    const what = names.map((name) => cleanText(name)).join(' or ');
    throw new MatchmarkError(
      'result-invalid',
      `${what} is damaged or of another version: its parts do not hold together`,
      { cause, next: NEXT },
    );
  }
}
