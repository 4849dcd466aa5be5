import { randomUUID } from 'node:crypto';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { nothingTested } from '../result/outcome.js';
import { type Entry, entriesOf } from '../run/journal-entry.js';
import { moment } from '../run/moment.js';
import { type RealDeps, realDeps } from '../run/real.js';
import { requireSameScope } from '../run/resume.js';
import { type CheckRequest, cutOffMatrix, runCheck } from '../run/run.js';
import { forASiteOf } from '../system/short-run.js';
import { type CliDeps, type CommonOptions, EXIT } from './common.js';
import { defineCommand } from './define-command.js';
import { type EarlierRun, folderOfRun, openEarlierRun } from './earlier-run.js';
import { reasonOf, runFolderName } from './files.js';
import { finishRun } from './finish-run.js';
import { elsewhereOf, type FromOptions, fromAsBefore, withFromOptions } from './from-options.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { type PaceOptions, withPaceOption } from './pace-option.js';
import { readPlan } from './plan-input.js';
import { requireTrust, type TrustOptions, withTrustOption } from './plan-trust.js';
import { progressView } from './progress.js';
import { journalHead, removeRunJournal, writeRunJournal } from './run-journal.js';
import { collect, requireDevices, stageOf } from './scope-options.js';
import { readSurvey } from './survey-input.js';
import { VERSION } from './version.js';
import { windUp } from './wind-up.js';

export interface CheckOptions extends CommonOptions, ReplaceOptions, TrustOptions, FromOptions, PaceOptions {
  readonly stage?: 'power-on' | 'configured';
  readonly only?: readonly string[];
  readonly since?: string;
  readonly by?: string;
  readonly resume?: string;
}

const EXAMPLES = `
Examples:
  matchmark check plan.yaml                        probe, compare, write run-<date>/matrix.html and matrix.json
  matchmark check address-list.csv --out handover  an address list alone is a plan; write into handover/
  matchmark check plan.yaml --stage power-on       the devices are still at their default addresses
  matchmark check plan.yaml --stage power-on --only vault-1
                                                   one device at a time, where several share a default
  matchmark check plan.yaml --since survey.json    and say what is new since the survey
  matchmark check plan.yaml --from ssh://root@press-1.example
                                                   look from that host, too: it sees what the laptop cannot
  matchmark check --resume run-1                   go on with a run that was cut off, in its own folder

Only probe networks that you are authorised on. Everything is read only.
`;

export const registerCheck = defineCommand({
  name: 'check',
  summary: 'the main job: probe, compare, write matrix.json and matrix.html',
  description: 'Compares what answers on the network with the plan and writes the matrix into --out DIR.',
  examples: EXAMPLES,
  shape: (command) =>
    withPaceOption(withFromOptions(withTrustOption(withReplaceOption(command))))
      .argument('[plan]', 'plan (YAML, JSON) or address list (CSV, XLSX); with --resume it need not be named')
      .option(
        '--stage <stage>',
        'power-on (devices still at their defaults) or configured (default: configured, or that of the run with --resume)',
        stageOf,
      )
      .option('--only <device>', 'look at this device alone; may be given several times', collect)
      .option('--by <who>', 'who looks: stands on the page that is signed')
      .option('--since <survey>', 'survey.json of an earlier survey: say what is new, gone and moved')
      .option('--resume <dir>', 'folder of a run that was cut off: ask only what it had not tested yet'),
  work: (deps, file: string | undefined, options: CheckOptions) => check(file, options, deps),
});

async function check(file: string | undefined, options: CheckOptions, deps: CliDeps): Promise<number> {
  // Where the laptop stands is read while the plan is.
  const world = realDeps(deps);
  world.ahead(options.vantage);
  try {
    return await checkIn(world, file, options, deps);
  } finally {
    await world.end();
  }
}

async function checkIn(
  world: RealDeps,
  file: string | undefined,
  options: CheckOptions,
  deps: CliDeps,
): Promise<number> {
  const resumed = options.resume === undefined ? undefined : await folderOfRun(options.resume, deps);
  // Whatever is wrong with what was given is said before a folder is made or anything is asked.
  const earlier = resumed === undefined ? undefined : await openEarlierRun(resumed, deps);
  const look = await prepare(file, earlier, options, deps);
  forASiteOf(look.request.plan.endpoints.length);
  moment('plan read');
  const out = options.out === undefined ? resumed : path.resolve(deps.cwd, options.out);
  const folder = out ?? path.resolve(deps.cwd, runFolderName(deps.date()));
  return inFolder(folder, {}, async () => {
    await requireReplaceable(folder, options, deps, { evidence: earlier?.folder === folder });
    return run(world, look, earlier, folder, options, deps);
  });
}

interface Prepared {
  readonly request: CheckRequest;
  readonly planFile: string;
  readonly from: readonly string[];
}

async function prepare(
  file: string | undefined,
  earlier: EarlierRun | undefined,
  options: CheckOptions,
  deps: CliDeps,
): Promise<Prepared> {
  const given = file ?? earlier?.planFile;
  if (given === undefined) throw planNotNamed(earlier);
  const plan = await readPlan(given, deps, options.quiet === true);
  await requireTrust(plan, path.resolve(deps.cwd, given), options, deps);
  const only = options.only ?? earlier?.scope.only;
  if (only !== undefined) requireDevices(plan, only);
  const stage = options.stage ?? earlier?.scope.stage ?? 'configured';
  if (earlier !== undefined) requireSameScope(earlier.scope, { files: plan.files, stage, only });
  const survey = options.since === undefined ? undefined : await readSurvey(options.since, deps);
  const vantageName = options.vantage ?? earlier?.vantageName;
  const scope = { plan, stage, only, vantageName, pace: options.pace };
  const { from, looks } = await elsewhereOf(scope, fromAsBefore(options, earlier), deps);
  return {
    from,
    planFile: path.resolve(deps.cwd, given),
    request: {
      plan,
      stage,
      only,
      vantageName,
      ...looks,
      by: options.by,
      pace: options.pace,
      runId: earlier?.runId ?? randomUUID(),
      version: VERSION,
      survey: survey ?? earlier?.survey,
      earlier: earlier?.answers,
      carried: earlier,
    },
  };
}

function planNotNamed(earlier: EarlierRun | undefined): MatchmarkError {
  return earlier === undefined
    ? new MatchmarkError('usage', "missing required argument 'plan'", {
        next: '"matchmark check --help" shows examples and all options.',
      })
    : new MatchmarkError('usage', 'that run does not say where its plan was', {
        next: 'Name the plan before --resume.',
      });
}

async function run(
  world: RealDeps,
  { request, planFile, from }: Prepared,
  earlier: EarlierRun | undefined,
  folder: string,
  options: CheckOptions,
  deps: CliDeps,
): Promise<number> {
  const startedAt = deps.date().toISOString();
  const before =
    earlier === undefined ? [] : earlier.hasJournal ? earlier.entries : entriesOf(earlier.answers);
  const goOn = earlier?.hasJournal === true && earlier.folder === folder;
  const head = journalHead(request, { planFile, from, startedAt });
  const journal = await writeRunJournal(folder, head, before, goOn);
  const entries: Entry[] = [...before];
  const onEntry = (entry: Entry): void => {
    entries.push(entry);
    journal.append(entry);
  };
  const view = progressView(deps.stderr, () => performance.now(), options.quiet === true);
  try {
    const matrix = await windUp(
      runCheck({ ...request, onEntry }, world, deps.signal, view.show),
      deps.signal,
      () => cutOffMatrix(request, entries, deps.date().toISOString()),
    );
    view.end();
    journal.close();
    if (matrix === undefined) {
      deps.stderr.write('Ended before anything was seen; nothing was written.\n');
      return deps.signal.aborted ? EXIT.interrupted : EXIT.incomplete;
    }
    moment('judged');
    const status = await finishRun(matrix, folder, options, deps);
    moment('written');
    if (matrix.run.complete) await removeRunJournal(folder);
    // Nothing found wrong is not said of a site that nobody could ask.
    return status === EXIT.clean && nothingTested(matrix) ? EXIT.incomplete : status;
  } finally {
    journal.close();
    if (journal.fault() !== undefined)
      deps.stderr.write(
        `note: the journal of this run could not be written on: ${reasonOf(journal.fault())}\n`,
      );
  }
}
