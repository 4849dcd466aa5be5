/** Reading the plan a command was given; every problem in it is shown, and errors end the command with exit 2. */
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import type { Plan } from '../plan/model.js';
import { loadPlan } from '../plan-file/load.js';
import { describeIssue } from '../plan-file/wording.js';
import { cleanText } from '../text/clean.js';
import { nearestWord } from '../text/nearest.js';
import { capital, count, list, naturalOrder } from '../text/sentence.js';
import type { CliDeps } from './common.js';
import { endable } from './endable.js';

const SHOWN = 50;

const NEXT_ELSE = 'Correct the plan and run it again.';
/** By the code of a sole error, where mending the plan is not what helps. */
const NEXT: Readonly<Record<string, string>> = {
  'empty-file':
    'Name the file that holds the plan; "matchmark demo --out first-go" writes one to start from.',
  'binary-file': 'Name a plan (.yaml, .json) or an address list (.csv, .xlsx).',
  'not-a-file': 'Name a plan (.yaml, .json) or an address list (.csv, .xlsx).',
  'file-too-large': 'Name the address list itself, and leave out what is no endpoint.',
  'old-workbook': 'Save it as .xlsx or .csv and name that.',
};

export async function readPlan(file: string, deps: CliDeps, quiet: boolean): Promise<Plan> {
  const place = path.resolve(deps.cwd, file);
  await requireFile(file, place);
  const reading = () => loadPlan(place);
  const loaded = await endable(deps, reading);
  const notes = loaded.issues.filter(({ level }) => level === 'note');
  if (!loaded.ok) {
    const errors = loaded.issues.filter(({ level }) => level === 'error');
    const shown = errors.slice(0, SHOWN).map((issue) => `  ${describeIssue(issue)}`);
    const more = errors.length > SHOWN ? [`  ... and ${errors.length - SHOWN} more`] : [];
    const only = errors.length === 1 ? errors[0] : undefined;
    const message =
      only === undefined
        ? [`the plan has ${count(errors.length, 'error')}; nothing was probed:`, ...shown, ...more].join('\n')
        : `nothing was probed: ${describeIssue(only)}`;
    throw new MatchmarkError('plan-invalid', message, { next: NEXT[only?.code ?? ''] ?? NEXT_ELSE });
  }
  if (!quiet) for (const issue of notes.slice(0, SHOWN)) deps.stderr.write(`note: ${describeIssue(issue)}\n`);
  if (!quiet && notes.length > SHOWN) deps.stderr.write(`note: ... and ${notes.length - SHOWN} more notes\n`);
  return loaded.plan;
}

/** A slip in the path is told apart from a fault in the plan, with the path as it was given. */
async function requireFile(given: string, place: string): Promise<void> {
  const what = `"${cleanText(given)}"`;
  if (given.trim() === '') throw unusable('the name of the plan is empty', 'Name a plan or an address list.');
  const facts = await stat(place).catch((error: NodeJS.ErrnoException) => error);
  if (facts instanceof Error) {
    // What else stands in the way, the reading of the plan says.
    if (facts.code !== 'ENOENT' && facts.code !== 'ENOTDIR') return;
    const beside = await plansIn(path.dirname(place));
    const near = nearestWord(path.basename(place), beside);
    throw unusable(
      `there is no file ${what}`,
      near === undefined ? plansNamed(beside, `looked in ${path.dirname(place)}`) : `Did you mean "${near}"?`,
    );
  }
  if (facts.isDirectory())
    throw unusable(
      `${what} is a folder, not a plan`,
      plansNamed(await plansIn(place), 'name a plan (.yaml, .json) or an address list (.csv, .xlsx) in it'),
    );
}

function unusable(what: string, next: string): MatchmarkError {
  return new MatchmarkError('plan-unreadable', `${what}; nothing was probed`, { next });
}

function plansNamed(plans: readonly string[], otherwise: string): string {
  return plans.length === 0 ? `${capital(otherwise)}.` : `The folder holds ${list(plans, 6)}.`;
}

async function plansIn(folder: string): Promise<string[]> {
  const names = await readdir(folder).catch(() => []);
  return names
    .filter((name) => /\.(ya?ml|json|csv|xlsx)$/i.test(name))
    .sort(naturalOrder)
    .map((name) => cleanText(name, 80));
}
