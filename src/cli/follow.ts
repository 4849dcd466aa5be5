import { randomUUID } from 'node:crypto';
import { setMaxListeners } from 'node:events';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { followSite } from '../follow/loop.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { within } from '../probe/bound.js';
import { realPulse } from '../pulse/question.js';
import { realDeps } from '../run/real.js';
import { processorMs } from '../system/processor-time.js';
import { type CliDeps, type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { runFolderName } from './files.js';
import { finishRun } from './finish-run.js';
import { type Files, keepSeen } from './follow-kept.js';
import { clockText, followView } from './follow-view.js';
import { type Elsewhere, elsewhereOf, type FromOptions, withFromOptions } from './from-options.js';
import { watchKeys } from './keys.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { type PaceOptions, withPaceOption } from './pace-option.js';
import { readPlan } from './plan-input.js';
import { requireTrust, type TrustOptions, withTrustOption } from './plan-trust.js';
import { progressView } from './progress.js';
import { removeRunJournal } from './run-journal.js';
import { collect, requireDevices, stageOf } from './scope-options.js';
import { VERSION } from './version.js';
import { windUp } from './wind-up.js';

interface FollowOptions extends CommonOptions, ReplaceOptions, TrustOptions, PaceOptions, FromOptions {
  readonly stage: 'power-on' | 'configured';
  readonly only?: readonly string[];
  readonly interval: number;
  readonly bell?: boolean;
  readonly rounds?: number;
}

const EXAMPLES = `
Examples:
  matchmark follow plan.yaml                     the matrix while you plug: q ends and writes it
  matchmark follow plan.yaml --only vault-1      one device
  matchmark follow plan.yaml --stage power-on    the devices are still at their default addresses
  matchmark follow plan.yaml --interval 15       a look every 15 seconds
  matchmark follow plan.yaml | tee changes.txt   a line for each change, with the time

Each address is asked something small every second: who goes or comes shows within two. A look asks who is there, echo and
connections; what changed is asked in full at once, everything once in a while. So it is at other places (--from): a look from there every --interval.
Only probe networks that you are authorised on. Everything is read only.
`;

/** Looks between two full ones: some minutes at the default interval. */
const FULL_EVERY = 12;

export const registerFollow = defineCommand({
  name: 'follow',
  summary: 'live while cabling: the matrix, refreshed, and what just changed',
  description: 'Looks again and again, says what changed, and writes the matrix into --out DIR at the end.',
  examples: EXAMPLES,
  shape: (command) =>
    withFromOptions(withPaceOption(withTrustOption(withReplaceOption(command))))
      .argument('<plan>', 'plan (YAML, JSON) or address list (CSV, XLSX)')
      .option(
        '--stage <stage>',
        'power-on (devices still at their defaults) or configured',
        stageOf,
        'configured',
      )
      .option('--only <device>', 'look at this device alone; may be given several times', collect)
      .option(
        '--interval <seconds>',
        'rest between two looks, 1 to 3600, longer where looks cost too much; who goes or comes shows at once',
        wholeFrom('--interval', 1, 3_600),
        20,
      )
      .option('--bell', 'ring the bell of the terminal at each change')
      .option(
        '--rounds <n>',
        'end after this many looks (default: until q or Ctrl-C)',
        wholeFrom('--rounds', 1, 1_000_000),
      ),
  work: (deps, file: string, options: FollowOptions) => follow(file, options, deps),
});

async function follow(file: string, options: FollowOptions, deps: CliDeps): Promise<number> {
  const quiet = options.quiet === true;
  const plan = await readPlan(file, deps, quiet);
  await requireTrust(plan, path.resolve(deps.cwd, file), options, deps);
  if (options.only !== undefined) requireDevices(plan, options.only);
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date()));
  const scope = { plan, stage: options.stage, only: options.only, vantageName: options.vantage };
  const places = await elsewhereOf({ ...scope, pace: options.pace }, options, deps);
  return inFolder(folder, {}, async () => {
    await requireReplaceable(folder, options, deps);
    return lookAgain(plan, { folder, planFile: path.resolve(deps.cwd, file) }, options, deps, places);
  });
}

async function lookAgain(
  plan: Plan,
  files: Files,
  options: FollowOptions,
  deps: CliDeps,
  { from, looks, pulse: pulseElsewhere }: Elsewhere,
): Promise<number> {
  const quiet = options.quiet === true;
  const request = {
    plan,
    stage: options.stage,
    only: options.only,
    vantageName: options.vantage,
    runId: randomUUID(),
    version: VERSION,
    pace: options.pace,
    ...looks,
  };
  const kept = await keepSeen(request, from, files, deps);

  const stop = within(deps.signal);
  const { signal } = stop;
  setMaxListeners(0, signal);
  const stopKeys = watchKeys(process.stdin, (key) => {
    if (key === 'interrupt') deps.interrupt?.();
    stop.end();
  });
  const out = options.json ? deps.stderr : deps.stdout;
  const form = options.json ? 'json' : out.isTTY && !quiet ? 'live' : 'lines';
  const view = followView(out, () => textStyle(out, deps), form);
  const progress = progressView(deps.stderr, () => performance.now(), quiet);
  const keys = process.stdin.isTTY ? '; q ends and writes the matrix' : '';
  if (!quiet && form !== 'live') deps.stderr.write(`Following, a look every ${options.interval} s${keys}.\n`);
  let restS = options.interval;
  let slowTold = false;
  try {
    let last: Matrix | undefined;
    const work = followSite(
      {
        ...request,
        onEntry: kept.onEntry,
        intervalMs: options.interval * 1000,
        rounds: options.rounds,
        fullEvery: FULL_EVERY,
      },
      {
        deps: () => realDeps(deps),
        pulse: realPulse(),
        pulseElsewhere,
        processorMs,
        onRest: (restMs) => {
          const seconds = Math.round(restMs / 1000);
          if (seconds > options.interval && !slowTold && !quiet && form !== 'live')
            deps.stderr.write(
              `note: a look every ${options.interval} s would take more than a tenth of a processor here: one every ${seconds} s.\n`,
            );
          slowTold ||= seconds > options.interval;
          restS = seconds;
        },
        onProgress: progress.show,
        onChanges: (changes, at) => {
          view.changed(changes, at);
          if (options.bell === true) deps.stderr.bell();
        },
        onLook: (result, round) => {
          last = result;
          kept.look(result);
          if (round === 1) progress.end();
          if (round === 1 && !quiet && form !== 'live')
            deps.stderr.write(`First look: ${firstLook(result)}\n`);
          view.show(result, `${clockText(deps.date())}  look ${round}, the next in ${restS} s${keys}`);
        },
      },
      signal,
    );
    const matrix = await windUp<Matrix | undefined>(work, signal, () => last ?? kept.cutOff());
    await kept.end();
    progress.end();
    view.end();
    if (matrix === undefined) {
      deps.stderr.write('Ended before anything was seen; nothing was written.\n');
      return deps.signal.aborted ? EXIT.interrupted : EXIT.incomplete;
    }
    const status = await finishRun(matrix, files.folder, options, deps);
    if (matrix.run.complete) await removeRunJournal(files.folder);
    return deps.signal.aborted ? EXIT.interrupted : status;
  } finally {
    stopKeys();
    await kept.end();
  }
}

function firstLook({ summary }: Matrix): string {
  const { matches, differs, missing, unproven } = summary;
  return `${matches} as planned, ${differs} not as planned, ${missing} missing, ${unproven} unproven. From here on what changes.`;
}

function wholeFrom(option: string, least: number, most: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (Number.isInteger(value) && value >= least && value <= most) return value;
    throw new MatchmarkError('usage', `${option} cannot be "${text}"`, {
      next: `Give a whole number from ${least} to ${most}.`,
    });
  };
}
