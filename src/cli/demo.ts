import { randomUUID } from 'node:crypto';
import path from 'node:path';
import { DEMO_PATIENCES } from '../demo/patience.js';
import { unexpectedFindings } from '../demo/planted.js';
import { demoOutcome, isWhole, renderDemoOutcome } from '../demo/report.js';
import { type DemoSite, startDemoSite } from '../demo/site.js';
import { commandsToTry } from '../demo/stay.js';
import type { Matrix } from '../matrix/matrix.js';
import { realDeps } from '../run/real.js';
import { runCheck } from '../run/run.js';
import { type CliDeps, type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { runFolderName, shownPath, writeWhole } from './files.js';
import { finishRun } from './finish-run.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { progressView } from './progress.js';
import { VERSION } from './version.js';

const EXAMPLES = `
Examples:
  matchmark demo                 the main job on an invented site inside this laptop; no rights and no network needed
  matchmark demo --out first-go  write the page, the result and the plan into first-go/
  matchmark demo --stay          keep the site up until Ctrl-C, to try follow, drill, attest and the rest on it

Ends with 0 where every planted fault was found and no finding above a note came from elsewhere, else with 3.
`;

export const registerDemo = defineCommand({
  name: 'demo',
  summary: 'the main job on an embedded site with planted faults, on loopback',
  description:
    'Starts a small site inside this laptop, with faults planted in it, checks it against its plan as `check` would, and says what was planted and what was found.',
  examples: EXAMPLES,
  shape: (command) => withReplaceOption(command).option('--stay', 'keep the site up until Ctrl-C'),
  work: (deps, options: DemoOptions) => demo(options, deps),
});

interface DemoOptions extends CommonOptions, ReplaceOptions {
  readonly stay?: boolean;
}

async function demo(options: DemoOptions, deps: CliDeps): Promise<number> {
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'demo'));
  let site: DemoSite | undefined;
  try {
    const { status, up } = await inFolder(folder, {}, async () => {
      await requireReplaceable(folder, options, deps);
      site = await startDemoSite();
      for (const { name, text } of site.files) await writeWhole(path.join(folder, name), text);
      const matrix = await lookAt(site, options, deps);
      return {
        status: await tell(matrix, site, folder, options, deps),
        up: matrix.run.complete ? site : undefined,
      };
    });
    // What is tried on it may write into the folder again.
    if (options.stay === true && up !== undefined) await stayUp(up, folder, options, deps);
    return status;
  } finally {
    await site?.stop();
  }
}

async function tell(
  matrix: Matrix,
  site: DemoSite,
  folder: string,
  options: DemoOptions,
  deps: CliDeps,
): Promise<number> {
  const status = await finishRun(matrix, folder, options, deps);
  if (!matrix.run.complete) return status;
  const outcome = demoOutcome(site.planted, matrix, unexpectedFindings(matrix));
  const output = besideJson(options, deps);
  if (!options.quiet || !isWhole(outcome))
    output.write(renderDemoOutcome(outcome, site.note, textStyle(output, deps)));
  if (!options.quiet)
    output.write(
      `\nThe page:  ${path.join(folder, 'matrix.html')}\nThe plan:  ${path.join(folder, 'plan.yaml')}\n`,
    );
  return isWhole(outcome) ? EXIT.clean : EXIT.incomplete;
}

/** With --json standard output belongs to the result alone. */
function besideJson(options: DemoOptions, deps: CliDeps): CliDeps['stdout'] {
  return options.json === true ? deps.stderr : deps.stdout;
}

/** Until Ctrl-C, which is how this ends and no interruption. */
async function stayUp(site: DemoSite, folder: string, options: DemoOptions, deps: CliDeps): Promise<void> {
  const output = besideJson(options, deps);
  const commands = commandsToTry(shownPath(folder, deps.cwd), site.reachable);
  const width = Math.max(...commands.map(({ line }) => line.length));
  const lines = commands.map(({ line, what }) => `  matchmark ${line.padEnd(width)}   ${what}`);
  output.write(
    `\nThe site stays up until Ctrl-C. Try, in a second window, in the folder ${deps.cwd}:\n${lines.join('\n')}\n`,
  );
  if (!site.reachable)
    output.write(
      'Commands that look at the site are left out: this system does not keep loopback addresses apart.\n',
    );
  await ended(deps.signal);
  output.write('\nThe site is down.\n');
}

/** Resolves when the signal is aborted. A listener alone keeps no process up, and neither may the site have to. */
function ended(signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal.aborted) return resolve();
    const awake = setInterval(() => {}, LONGEST_TIMER_MS);
    signal.addEventListener(
      'abort',
      () => {
        clearInterval(awake);
        resolve();
      },
      { once: true },
    );
  });
}

/** The longest that a timer of Node takes. */
const LONGEST_TIMER_MS = 2 ** 31 - 1;

async function lookAt(site: DemoSite, options: CommonOptions, deps: CliDeps): Promise<Matrix> {
  const real = realDeps(deps);
  const view = progressView(deps.stderr, () => performance.now(), options.quiet === true);
  const matrix = await runCheck(
    {
      plan: site.plan,
      stage: 'configured',
      vantageName: options.vantage,
      patiences: DEMO_PATIENCES,
      runId: randomUUID(),
      version: VERSION,
    },
    { ...real, probes: site.point(real.probes) },
    deps.signal,
    view.show,
  );
  view.end();
  return matrix;
}
