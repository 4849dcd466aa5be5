import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import type { Survey } from '../matrix/survey.js';
import { readSurvey as parseSurvey } from '../survey/read.js';
import { readOrdinaryFile } from '../system/ordinary-file.js';
import type { CliDeps } from './common.js';
import { endable } from './endable.js';
import { reasonOf } from './files.js';
import { LARGEST_RESULT_BYTES } from './run-input.js';

const NEXT = 'Name the survey.json that "matchmark survey" wrote, or the folder it stands in.';

/** Reads a survey.json, or the one in a folder. Ctrl-C ends the program at once meanwhile. */
export function readSurvey(given: string, deps: CliDeps): Promise<Survey> {
  return endable(deps, () => read(given, path.resolve(deps.cwd, given)));
}

async function read(given: string, place: string): Promise<Survey> {
  for (const file of [place, path.join(place, 'survey.json')]) {
    try {
      return parseSurvey(await readOrdinaryFile(file, LARGEST_RESULT_BYTES), given);
    } catch (error) {
      if (error instanceof MatchmarkError) throw error;
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EISDIR') continue;
      if (code === 'ENOENT' && file !== place) break;
      throw new MatchmarkError('result-unreadable', `cannot read the survey ${given}: ${reasonOf(error)}`, {
        cause: error,
        next: NEXT,
      });
    }
  }
  throw new MatchmarkError('result-unreadable', `there is no survey.json in ${given}`, { next: NEXT });
}
