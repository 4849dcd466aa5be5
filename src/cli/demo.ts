import { randomUUID } from 'node:crypto';
import path from 'node:path';
import { DEMO_PATIENCES } from '../demo/patience.js';
import { unexpectedFindings } from '../demo/planted.js';
import { demoOutcome, isWhole, renderDemoOutcome } from '../demo/report.js';
import { type DemoSite, startDemoSite } from '../demo/site.js';
import type { Matrix } from '../matrix/matrix.js';
import { realDeps } from '../run/real.js';
import { runCheck } from '../run/run.js';
import { finishRun } from './check.js';
import { type CliDeps, type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { prepareFolder, runFolderName, writeWhole } from './files.js';
import { progressView } from './progress.js';
import { VERSION } from './version.js';

const EXAMPLES = `
Examples:
  matchmark demo                 the main job on an invented site inside this machine; no rights and no network needed
  matchmark demo --out first-go  write the page, the result and the plan into first-go/

Ends with 0 where every planted fault was found and no finding above a note came from elsewhere, else with 3.
`;

export const registerDemo = defineCommand({
  name: 'demo',
  summary: 'the main job on an embedded site with planted faults, on loopback',
  description:
    'Starts a small site inside this machine, with faults planted in it, checks it against its plan as `check` would, and says what was planted and what was found.',
  examples: EXAMPLES,
  work: (deps, options: CommonOptions) => demo(options, deps),
});

async function demo(options: CommonOptions, deps: CliDeps): Promise<number> {
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'demo'));
  await prepareFolder(folder);
  const site = await startDemoSite();
  let matrix: Matrix;
  try {
    for (const { name, text } of site.files) await writeWhole(path.join(folder, name), text);
    matrix = await lookAt(site, options, deps);
  } finally {
    await site.stop();
  }
  const status = await finishRun(matrix, folder, options, deps);
  if (!matrix.run.complete) return status;

  const outcome = demoOutcome(site.planted, matrix, unexpectedFindings(matrix));
  // With --json standard output belongs to the result alone.
  const output = options.json ? deps.stderr : deps.stdout;
  if (!options.quiet || !isWhole(outcome))
    output.write(renderDemoOutcome(outcome, site.note, textStyle(output, deps)));
  if (!options.quiet)
    output.write(
      `\nThe page:  ${path.join(folder, 'matrix.html')}\nThe plan:  ${path.join(folder, 'plan.yaml')}\n`,
    );
  return isWhole(outcome) ? EXIT.clean : EXIT.incomplete;
}

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
