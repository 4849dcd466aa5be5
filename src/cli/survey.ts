import path from 'node:path';
import { orderFindings } from '../findings/order.js';
import type { Survey } from '../matrix/survey.js';
import { makerOf } from '../plan/maker.js';
import type { Plan } from '../plan/model.js';
import { exitStatusOf } from '../result/summary.js';
import { cutOff, type Entry } from '../run/journal-entry.js';
import { observe } from '../run/observe.js';
import { realDeps } from '../run/real.js';
import { sweepOf } from '../run/sweep.js';
import { judgeSurvey } from '../survey/judge.js';
import { renderSurvey } from '../terminal/survey.js';
import { cleanText } from '../text/clean.js';
import { type CliDeps, type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { runFolderName, shownPath, writeWhole } from './files.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { type PaceOptions, withPaceOption } from './pace-option.js';
import { readPlan } from './plan-input.js';
import { requireTrust, type TrustOptions, withTrustOption } from './plan-trust.js';
import { progressView } from './progress.js';
import { writeOpenFindings } from './quiet.js';
import { windUp } from './wind-up.js';

interface SurveyOptions extends CommonOptions, ReplaceOptions, TrustOptions, PaceOptions {
  readonly networks?: boolean;
}

const EXAMPLES = `
Examples:
  matchmark survey plan.yaml                       who already answers on planned and default addresses
  matchmark survey plan.yaml --networks            and everybody else on the plan's networks (up to /20)
  matchmark survey plan.yaml --out before          write before/survey.json
  matchmark check plan.yaml --since before/survey.json
                                                   later: what is new, gone and moved

Before power-on nothing of the plan should answer. Only survey networks that you are authorised on.
`;

export const registerSurvey = defineCommand({
  name: 'survey',
  summary: 'before power-on: who already answers on planned and default addresses',
  description: 'Asks planned and default addresses before power-on and writes survey.json into --out DIR.',
  examples: EXAMPLES,
  shape: (command) =>
    withPaceOption(withTrustOption(withReplaceOption(command)))
      .argument('<plan>', 'plan (YAML, JSON) or address list (CSV, XLSX)')
      .option('--networks', "ask every address of the plan's networks too, up to /20 each"),
  work: (deps, file: string, options: SurveyOptions) => survey(file, options, deps),
});

async function survey(file: string, options: SurveyOptions, deps: CliDeps): Promise<number> {
  const quiet = options.quiet === true;
  const plan = await readPlan(file, deps, quiet);
  await requireTrust(plan, path.resolve(deps.cwd, file), options, deps);
  const sweep = options.networks === true ? sweepOf(plan) : undefined;
  for (const { network, reason } of sweep?.left ?? [])
    deps.stderr.write(`note: network ${cleanText(network, 60)} is not swept: ${cleanText(reason)}\n`);
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'survey'));
  return inFolder(folder, {}, async () => {
    await requireReplaceable(folder, options, deps, { evidence: true });
    return runSurvey(plan, sweep, folder, options, deps);
  });
}

async function runSurvey(
  plan: Plan,
  sweep: ReturnType<typeof sweepOf> | undefined,
  folder: string,
  options: SurveyOptions,
  deps: CliDeps,
): Promise<number> {
  const quiet = options.quiet === true;
  const view = progressView(deps.stderr, () => performance.now(), quiet);
  const entries: Entry[] = [];
  const onEntry = (entry: Entry): void => {
    entries.push(entry);
  };
  const request = {
    plan,
    stage: 'power-on',
    sweep: sweep?.addresses,
    vantageName: options.vantage,
    pace: options.pace,
  } as const;
  const evidence = await windUp(
    observe({ ...request, onEntry }, realDeps(deps), deps.signal, view.show),
    deps.signal,
    () => cutOff(entries, request, deps.date().toISOString()),
  );
  view.end();
  if (evidence === undefined) {
    deps.stderr.write('Ended before anything was seen; nothing was written.\n');
    return deps.signal.aborted ? EXIT.interrupted : EXIT.incomplete;
  }
  const judged = judgeSurvey(plan, [evidence], { makerOf, swept: sweep?.swept });
  const result: Survey = { ...judged, findings: orderFindings(judged.findings) };
  const json = `${JSON.stringify(result, null, 1)}\n`;
  const written = path.join(folder, 'survey.json');
  await writeWhole(written, json);
  if (options.json) deps.stdout.document(json);
  else if (quiet) writeOpenFindings(result.findings, deps);
  else deps.stdout.write(renderSurvey(result, textStyle(deps.stdout, deps)));
  if (!quiet) deps.stderr.write(`Survey: ${shownPath(written, deps.cwd)}; later runs use it with --since\n`);
  if (!result.complete) {
    const why = deps.signal.aborted ? 'Interrupted' : 'This laptop ran out of open files, sockets or memory';
    deps.stderr.write(`${why}: what was seen so far is written.\n`);
    return deps.signal.aborted ? EXIT.interrupted : EXIT.incomplete;
  }
  const status = exitStatusOf(result.findings);
  // A survey that could ask nobody has found nothing, in any sense.
  const asked = result.entries.length + result.silent.length > 0 || result.unproven.length === 0;
  return status === EXIT.clean && !asked ? EXIT.incomplete : status;
}
