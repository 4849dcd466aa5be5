import { createHash, randomUUID } from 'node:crypto';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../matrix/matrix.js';
import { renderPage } from '../page/render.js';
import type { Plan } from '../plan/model.js';
import { exitStatusOf } from '../result/summary.js';
import { realDeps } from '../run/real.js';
import { settledIn } from '../run/resume.js';
import { runCheck } from '../run/run.js';
import { renderSummary } from '../terminal/summary.js';
import { nearestWord } from '../text/nearest.js';
import { type CliDeps, type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { prepareFolder, runFolderName, shownPath, writeWhole } from './files.js';
import { readPlan } from './plan-input.js';
import { progressView } from './progress.js';
import { writeUnsettled } from './quiet.js';
import { openRun } from './run-input.js';
import { readSurvey } from './survey-input.js';
import { VERSION } from './version.js';

export interface CheckOptions extends CommonOptions {
  readonly stage: 'power-on' | 'configured';
  readonly only?: readonly string[];
  readonly since?: string;
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
  matchmark check plan.yaml --resume run-1         go on with an interrupted run, in its own folder

Only probe networks that you are authorised on. Everything is read only.
`;

export const registerCheck = defineCommand({
  name: 'check',
  summary: 'the main job: probe, compare, write matrix.json and matrix.html',
  description: 'Holds what answers on the network against the plan and writes the matrix into --out DIR.',
  examples: EXAMPLES,
  shape: (command) =>
    command
      .argument('<plan>', 'plan (YAML, JSON) or address list (CSV, XLSX)')
      .option(
        '--stage <stage>',
        'power-on (devices still at their defaults) or configured',
        stageOf,
        'configured',
      )
      .option('--only <device>', 'look at this device alone; may be given several times', collect)
      .option('--since <survey>', 'survey.json of an earlier survey: say what is new, gone and moved')
      .option('--resume <dir>', 'folder of an interrupted run: ask only what it had not settled'),
  work: (deps, file: string, options: CheckOptions) => check(file, options, deps),
});

async function check(file: string, options: CheckOptions, deps: CliDeps): Promise<number> {
  const quiet = options.quiet === true;
  const plan = await readPlan(file, deps, quiet);
  if (options.only !== undefined) requireDevices(plan, options.only);
  const survey = options.since === undefined ? undefined : await readSurvey(options.since, deps);
  const earlier = options.resume === undefined ? undefined : await openRun(options.resume, deps);
  const settled =
    earlier === undefined
      ? undefined
      : settledIn(earlier.matrix, { plan, stage: options.stage, only: options.only });
  const out = options.out === undefined ? earlier?.folder : path.resolve(deps.cwd, options.out);
  const folder = out ?? path.resolve(deps.cwd, runFolderName(deps.date()));
  await prepareFolder(folder);
  const view = progressView(deps.stderr, () => performance.now(), quiet);
  const matrix = await runCheck(
    {
      plan,
      stage: options.stage,
      only: options.only,
      vantageName: options.vantage,
      runId: earlier?.matrix.run.id ?? randomUUID(),
      version: VERSION,
      survey: survey ?? earlier?.matrix.survey,
      settled,
    },
    realDeps(deps),
    deps.signal,
    view.show,
  );
  view.end();
  return finishRun(matrix, folder, options, deps);
}

/** Writes both files, shows the summary, gives the exit status. `silent`: standard output has another owner. */
export async function finishRun(
  matrix: Matrix,
  folder: string,
  options: CommonOptions & { readonly silent?: boolean },
  deps: CliDeps,
): Promise<number> {
  const json = `${JSON.stringify(matrix, null, 1)}\n`;
  const digest = createHash('sha256').update(json).digest('hex');
  const page = path.join(folder, 'matrix.html');
  await writeWhole(path.join(folder, 'matrix.json'), json);
  await writeWhole(page, renderPage(matrix, { digest }));
  if (options.json) deps.stdout.document(json);
  else if (options.quiet) writeUnsettled(matrix.findings, deps);
  else if (!options.silent) deps.stdout.write(renderSummary(matrix, textStyle(deps.stdout, deps)));
  if (!options.quiet) deps.stderr.write(`Page: ${shownPath(page, deps.cwd)} (matrix.json beside it)\n`);
  if (!matrix.run.complete) {
    deps.stderr.write('Interrupted: what was seen so far is written; the rest says not-run.\n');
    return deps.signal.aborted ? EXIT.interrupted : EXIT.incomplete;
  }
  return exitStatusOf(matrix.findings);
}

export function requireDevices(plan: Plan, names: readonly string[]): void {
  const known = plan.devices.map(({ name }) => name);
  for (const name of names) {
    if (known.includes(name)) continue;
    const near = nearestWord(name, known);
    throw new MatchmarkError('usage', `the plan has no device "${name}"`, {
      next: near === undefined ? `It has: ${known.slice(0, 12).join(', ')}.` : `Did you mean "${near}"?`,
    });
  }
}

export function stageOf(text: string): 'power-on' | 'configured' {
  if (text === 'power-on' || text === 'configured') return text;
  throw new MatchmarkError('usage', `unknown stage "${text}"`, {
    next: 'Stages are power-on and configured.',
  });
}

export function collect(value: string, before: readonly string[] = []): string[] {
  return [...before, value];
}
