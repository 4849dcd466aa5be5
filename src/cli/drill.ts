import path from 'node:path';
import { asIfLive, planDrill, pullsOf, sightOf, sightOfPlan } from '../drill/index.js';
import { MatchmarkError } from '../errors.js';
import type { Plan } from '../plan/model.js';
import { requireSameScope } from '../run/resume.js';
import { fullReview } from '../run/run.js';
import { cleanText } from '../text/clean.js';
import { nearestWord } from '../text/nearest.js';
import { list } from '../text/sentence.js';
import { type CliDeps, type CommonOptions, EXIT } from './common.js';
import { defineCommand } from './define-command.js';
import { pullListJson, pullListText } from './drill-list.js';
import { pullSession, type SessionOptions } from './drill-session.js';
import { type EarlierRun, folderOfRun, openEarlierRun } from './earlier-run.js';
import { endable } from './endable.js';
import { runFolderName } from './files.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { withPaceOption } from './pace-option.js';
import { readPlan } from './plan-input.js';
import { requireTrust, type TrustOptions, withTrustOption } from './plan-trust.js';
import { openRun } from './run-input.js';
import { secondsOf } from './seconds.js';

interface DrillOptions extends CommonOptions, ReplaceOptions, TrustOptions, SessionOptions {
  readonly group?: readonly string[];
  readonly list?: boolean;
  readonly resume?: string;
}

const EXAMPLES = `
Examples:
  matchmark drill plan.yaml                          every redundancy group, one thing after the other
  matchmark drill plan.yaml --group "vault-1 data"   this group alone; may be given several times
  matchmark drill plan.yaml --by "R. Hale"           who pulls, for the record (default: who is logged in)
  matchmark drill plan.yaml --list                   the whole pull test: what to pull, in which order; nothing is probed
  matchmark drill plan.yaml --resume drill-9         go on with what is left, in the folder of the run
  printf 'next\\nskip\\n' | matchmark drill plan.yaml --script --wait 30
                                                     commands by a pipe, events as one JSON object a line

It says what it can watch and what not, then what to pull, waits for it, times the gap in service, waits for the
return and goes on. Each cable, controller or switch is pulled once for all groups that run through it. What nobody
could see from here is left out.
Pull nothing that is in use without the customer's word; work on mains power is for licensed people.
`;

export const registerDrill = defineCommand({
  name: 'drill',
  summary: 'guided pull test: what survives the loss of one thing, timed',
  description: 'Says what to pull, watches, times the gap, records the outcome as proof of survival.',
  examples: EXAMPLES,
  shape: (command) =>
    withPaceOption(withTrustOption(withReplaceOption(command)))
      .argument('<plan>', 'plan (YAML, JSON) or address list (CSV, XLSX)')
      .option('--group <name>', 'only this redundancy group; may be given several times', collect)
      .option('--by <who>', 'who does it, for the record')
      .option('--hold <seconds>', 'how long the rest is watched after something went away', secondsOf, 3)
      .option(
        '--wait <seconds>',
        'longest wait for a pull and for a return (default: as long as it takes)',
        secondsOf,
      )
      .option('--list', 'only say what to pull, in which order, and what of it is watched')
      .option('--resume <dir>', 'folder of a run: do what is left of its pull test, and keep what it has')
      .option('--unwatched', 'also pull what cannot be watched from here')
      .option('--script', 'commands from a pipe (next, skip, repeat, abort), events as JSON lines'),
  work: (deps, file: string, options: DrillOptions) => drill(file, options, deps),
});

async function drill(file: string, options: DrillOptions, deps: CliDeps): Promise<number> {
  const quiet = options.quiet === true;
  const plan = await readPlan(file, deps, quiet);
  const names = await endable(deps, async () => chosenNames(plan, options.group));
  if (options.list === true) return endable(deps, () => listPulls(plan, names, options, deps));
  await requireTrust(plan, path.resolve(deps.cwd, file), options, deps);
  const resumed = options.resume === undefined ? undefined : await folderOfRun(options.resume, deps);
  if (resumed !== undefined && options.out !== undefined)
    throw new MatchmarkError('usage', '--resume goes on in the folder of the run: leave out --out');
  const folder = resumed ?? path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'drill'));
  return inFolder(folder, {}, async () => {
    const earlier = resumed === undefined ? undefined : await earlierDrill(resumed, plan, deps);
    await requireReplaceable(folder, options, deps, { evidence: earlier !== undefined });
    return pullSession({ plan, names, folder, earlier }, options, deps);
  });
}

/** The run whose pull test goes on. Throws MatchmarkError where it is of another plan or stage, or was cut off. */
async function earlierDrill(folder: string, plan: Plan, deps: CliDeps): Promise<EarlierRun> {
  const earlier = await openEarlierRun(folder, deps);
  requireSameScope(earlier.scope, { files: plan.files, stage: 'configured' });
  if (earlier.hasJournal)
    throw new MatchmarkError('usage', 'the check in that folder was cut off', {
      next: 'Finish it first: matchmark check --resume, then drill again.',
    });
  return earlier;
}

/** With --resume by what that run found, else by the plan alone. */
async function listPulls(
  plan: Plan,
  names: ReadonlySet<string>,
  options: DrillOptions,
  deps: CliDeps,
): Promise<number> {
  const run = options.resume === undefined ? undefined : (await openRun(options.resume, deps)).matrix;
  if (run !== undefined)
    requireSameScope({ files: run.plan.files, stage: '' }, { files: plan.files, stage: '' });
  const all = run?.groups ?? fullReview(plan).groups.map(asIfLive);
  const groups = all.filter(({ name }) => names.has(name));
  const sight = run === undefined ? sightOfPlan(plan, groups) : sightOf({ ...run, groups });
  const pulls = {
    site: plan.site.name,
    pulls: pullsOf(planDrill(groups)),
    groups,
    records: run?.evidence.flatMap(({ drills }) => drills) ?? [],
    watched: new Set(sight.questions.map(({ endpoint }) => endpoint.id)),
    unwatched: sight.unwatched,
    planned: run === undefined,
  };
  if (options.json === true) deps.stdout.document(pullListJson(pulls));
  else deps.stdout.write(pullListText(pulls));
  return EXIT.clean;
}

/** The groups to drill, before anything is probed. */
function chosenNames(plan: Plan, names: readonly string[] | undefined): ReadonlySet<string> {
  const known = fullReview(plan).groups.map(({ name }) => name);
  if (known.length === 0)
    throw new MatchmarkError('usage', 'the plan has no redundancy group, so there is nothing to pull', {
      next: 'Give the endpoints that stand in for each other the same "group", then run it again.',
    });
  for (const name of names ?? []) {
    if (known.includes(name)) continue;
    const near = nearestWord(name, known);
    throw new MatchmarkError('usage', `the plan has no group "${cleanText(name, 60)}"`, {
      next: near === undefined ? `It has ${list(known)}.` : `Did you mean "${near}"?`,
    });
  }
  return new Set(names ?? known);
}

function collect(value: string, before: readonly string[] = []): string[] {
  return [...before, value];
}
