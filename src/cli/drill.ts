import { randomUUID } from 'node:crypto';
import { userInfo } from 'node:os';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { type CommandQueue, commandQueue } from '../drill/commands.js';
import { planDrill, summariseDrill } from '../drill/index.js';
import { runDrill } from '../drill/pull-test.js';
import { startSampler } from '../drill/sampler.js';
import { watchesFor } from '../drill/watches.js';
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { evidenceOf } from '../result/build.js';
import { realSleep } from '../run/pace.js';
import { realDeps } from '../run/real.js';
import { rejudge } from '../run/rejudge.js';
import { fullReview, runCheck } from '../run/run.js';
import type { DrillRecord } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { nearestWord } from '../text/nearest.js';
import { list } from '../text/sentence.js';
import { type CliDeps, type CommonOptions, EXIT } from './common.js';
import { defineCommand } from './define-command.js';
import { eventLine, eventText } from './drill-text.js';
import { runFolderName } from './files.js';
import { finishRun, writeRun } from './finish-run.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { readPlan } from './plan-input.js';
import { requireTrust, type TrustOptions, withTrustOption } from './plan-trust.js';
import { progressView } from './progress.js';
import { secondsOf } from './seconds.js';
import { VERSION } from './version.js';

interface DrillOptions extends CommonOptions, ReplaceOptions, TrustOptions {
  readonly group?: readonly string[];
  readonly by?: string;
  readonly hold: number;
  readonly wait?: number;
  readonly script?: boolean;
}

const EXAMPLES = `
Examples:
  matchmark drill plan.yaml                          every redundancy group, one thing after the other
  matchmark drill plan.yaml --group "vault-1 data"   this group alone; may be given several times
  matchmark drill plan.yaml --by "R. Hale"           who pulls, for the record (default: who is logged in)
  printf 'next\\nskip\\n' | matchmark drill plan.yaml --script --wait 30
                                                     commands by a pipe, events as one JSON object a line

It says what to pull, waits for it, times the gap in service, waits for the return and goes on. Pull nothing that
is in use without the customer's word; work on mains power is for licensed people.
`;

export const registerDrill = defineCommand({
  name: 'drill',
  summary: 'guided pull test: what survives the loss of one thing, timed',
  description: 'Says what to pull, watches, times the gap, records the outcome as proof of survival.',
  examples: EXAMPLES,
  shape: (command) =>
    withTrustOption(withReplaceOption(command))
      .argument('<plan>', 'plan (YAML, JSON) or address list (CSV, XLSX)')
      .option('--group <name>', 'only this redundancy group; may be given several times', collect)
      .option('--by <who>', 'who does it, for the record')
      .option('--hold <seconds>', 'how long the rest is watched after something went away', secondsOf, 3)
      .option(
        '--wait <seconds>',
        'longest wait for a pull and for a return (default: as long as it takes)',
        secondsOf,
      )
      .option('--script', 'commands from a pipe (next, skip, repeat, abort), events as JSON lines'),
  work: (deps, file: string, options: DrillOptions) => drill(file, options, deps),
});

async function drill(file: string, options: DrillOptions, deps: CliDeps): Promise<number> {
  const quiet = options.quiet === true;
  const plan = await readPlan(file, deps, quiet);
  await requireTrust(plan, path.resolve(deps.cwd, file), options, deps);
  const names = chosenNames(plan, options.group);
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'drill'));
  return inFolder(folder, {}, async () => {
    await requireReplaceable(folder, options);
    return pull(plan, names, folder, options, deps);
  });
}

async function pull(
  plan: Plan,
  names: ReadonlySet<string>,
  folder: string,
  options: DrillOptions,
  deps: CliDeps,
): Promise<number> {
  const quiet = options.quiet === true;
  const world = realDeps(deps);
  const view = progressView(deps.stderr, () => performance.now(), quiet);
  const before = await runCheck(
    { plan, stage: 'configured', vantageName: options.vantage, runId: randomUUID(), version: VERSION },
    world,
    deps.signal,
    view.show,
  );
  view.end();
  if (!before.run.complete) return finishRun(before, folder, options, deps);
  const groups = before.groups.filter(({ name }) => names.has(name));
  const steps = planDrill(groups);
  if (steps.length === 0) {
    deps.stderr.write('Nothing to pull: no chosen group works now. Fix what the matrix shows first.\n');
    return finishRun(before, folder, options, deps);
  }
  deps.stderr.write(`${summariseDrill(steps)}\n`);

  const commands = commandQueue();
  const stopReading = readCommands(commands, deps);
  const watches = watchesFor(before, world.probes);
  const sampler = startSampler(watches, world.clock, realSleep);
  const out = options.script === true && options.json !== true ? deps.stdout : deps.stderr;
  const waitMs = options.wait === undefined ? undefined : options.wait * 1000;
  const [first, ...others] = evidenceOf(before);
  const withDrills = (drills: readonly DrillRecord[]): Matrix =>
    rejudge(before, first === undefined ? [] : [{ ...first, drills }, ...others]);
  // A pull costs people minutes: each is on the disk before the next.
  const done: DrillRecord[] = [];
  let saving = Promise.resolve();
  let unsaved: unknown;
  const save = (record: DrillRecord): void => {
    done.push(record);
    const result = withDrills([...done]);
    saving = saving
      .then(() => writeRun(result, folder))
      .then(
        () => {},
        (error: unknown) => {
          unsaved ??= error;
        },
      );
  };
  try {
    const { records, aborted } = await runDrill(
      { steps, groups, by: cleanText(options.by?.trim() || userName()), holdMs: options.hold * 1000, waitMs },
      {
        sampler,
        watched: new Set(watches.map(({ endpoint }) => endpoint)),
        commands,
        clock: world.clock,
        sleep: realSleep,
        say: (event) => {
          if (event.event === 'measured') save(event.record);
          if (options.script === true) out.document(eventLine(event));
          else out.write(eventText(event));
        },
      },
      deps.signal,
    );
    await saving;
    if (unsaved !== undefined) deps.stderr.write('note: a pull test could not be saved before the next.\n');
    const quietly = options.script === true && options.json !== true ? { ...options, silent: true } : options;
    const status = await finishRun(withDrills(records), folder, quietly, deps);
    if (deps.signal.aborted) return EXIT.interrupted;
    return aborted ? EXIT.incomplete : status;
  } finally {
    stopReading();
    await sampler.stop();
  }
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

/** Lines of standard input become commands; gives the function that stops reading. */
function readCommands(commands: CommandQueue, deps: CliDeps): () => void {
  const input = deps.stdin ?? process.stdin;
  const lines = createInterface({ input, terminal: false });
  lines.on('line', (line) => {
    if (commands.line(line) === 'unknown') deps.stderr.write('Say next (Enter), skip, repeat or abort.\n');
  });
  lines.on('close', () => commands.end());
  return () => {
    lines.close();
    input.pause();
  };
}

function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return 'not named';
  }
}

function collect(value: string, before: readonly string[] = []): string[] {
  return [...before, value];
}
