import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../result/matrix.js';
import { readMatrix } from '../result/schema.js';
import type { CliDeps } from './common.js';
import { reasonOf } from './files.js';

export interface OpenedRun {
  readonly matrix: Matrix;
  readonly folder: string;
  /** The bytes as they stand on disk, for the digest. */
  readonly text: string;
}

const NEXT = 'Name the folder that "matchmark check" wrote, or the matrix.json in it.';

/** Opens a finished run: its folder, or the matrix.json in it. */
export async function openRun(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<OpenedRun> {
  const place = path.resolve(deps.cwd, given);
  for (const file of [place, path.join(place, 'matrix.json')]) {
    try {
      const text = await readFile(file, 'utf8');
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
  throw new MatchmarkError('result-unreadable', `there is no matrix.json in ${given}`, { next: NEXT });
}
