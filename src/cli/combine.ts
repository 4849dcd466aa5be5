import { randomUUID } from 'node:crypto';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { combineRuns, type GivenRun } from '../result/combine.js';
import { rejudge } from '../run/rejudge.js';
import { printable } from '../text/clean.js';
import type { CliDeps, CommonOptions } from './common.js';
import { defineCommand } from './define-command.js';
import { runFolderName } from './files.js';
import { finishRun } from './finish-run.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { derivedFrom, openRun, relyingOn } from './run-input.js';
import { VERSION } from './version.js';

const EXAMPLES = `
Examples:
  matchmark check plan.yaml --vantage hall --out from-hall          from one place,
  matchmark check plan.yaml --vantage rack --out from-rack          and from another
  matchmark combine from-hall from-rack --out handover              both in one matrix, judged again

What could not be tested from one place is taken from the place that could. Observations and pull tests of all runs are kept.
`;

export const registerCombine = defineCommand({
  name: 'combine',
  summary: 'several vantages into one matrix',
  description: 'Joins runs of one plan from several places, judges them together and writes one matrix.',
  examples: EXAMPLES,
  shape: (command) =>
    withReplaceOption(command).argument('<run...>', 'folders of runs, or their matrix.json'),
  work: (deps, runs: string[], options: CommonOptions & ReplaceOptions) => combine(runs, options, deps),
});

async function combine(
  given: readonly string[],
  options: CommonOptions & ReplaceOptions,
  deps: CliDeps,
): Promise<number> {
  const runs: (GivenRun & { readonly folder: string })[] = [];
  for (const name of given) runs.push({ name, ...(await openRun(name, deps)) });
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'combined'));
  const own = runs.find((run) => run.folder === folder);
  if (own !== undefined)
    throw new MatchmarkError('usage', `--out is the folder of ${own.name}, which would be lost`, {
      next: 'Name another folder with --out DIR.',
    });
  const { base, evidence, notes } = await derivedFrom(given, deps, () =>
    combineRuns(runs, { id: randomUUID(), version: VERSION }),
  );
  if (!options.quiet) for (const note of notes) deps.stderr.write(`note: ${printable(note)}\n`);
  return inFolder(folder, {}, async () => {
    await requireReplaceable(folder, options, deps);
    const joined = await derivedFrom(given, deps, () => rejudge(base, evidence));
    return relyingOn(given, () => finishRun(joined, folder, options, deps));
  });
}
