/** Reading the plan a command was given; every problem in it is shown, and errors end the command with exit 2. */
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import type { Plan } from '../plan/model.js';
import { loadPlan } from '../plan-file/load.js';
import { describeIssue } from '../plan-file/wording.js';
import { count } from '../text/sentence.js';
import type { CliDeps } from './common.js';

const SHOWN = 50;

export async function readPlan(file: string, deps: CliDeps, quiet: boolean): Promise<Plan> {
  const loaded = await loadPlan(path.resolve(deps.cwd, file));
  const notes = loaded.issues.filter(({ level }) => level === 'note');
  if (!loaded.ok) {
    const errors = loaded.issues.filter(({ level }) => level === 'error');
    const shown = errors.slice(0, SHOWN).map((issue) => `  ${describeIssue(issue)}`);
    const more = errors.length > SHOWN ? [`  ... and ${errors.length - SHOWN} more`] : [];
    const only = errors.length === 1 ? errors[0] : undefined;
    const message =
      only === undefined
        ? [`the plan has ${count(errors.length, 'error')}; nothing was probed:`, ...shown, ...more].join('\n')
        : `${describeIssue(only)}; nothing was probed`;
    throw new MatchmarkError('plan-invalid', message, { next: 'Mend the plan and run it again.' });
  }
  if (!quiet) for (const issue of notes.slice(0, SHOWN)) deps.stderr.write(`note: ${describeIssue(issue)}\n`);
  if (!quiet && notes.length > SHOWN) deps.stderr.write(`note: ... and ${notes.length - SHOWN} more notes\n`);
  return loaded.plan;
}
