import path from 'node:path';
import { compareRuns } from '../compare/compare.js';
import { renderComparePage } from '../page/compare-page.js';
import { renderComparison, renderWorse } from '../terminal/compare.js';
import { type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { prepareFolder, shownPath, writeWhole } from './files.js';
import { writeOpenFindings } from './quiet.js';
import { derivedFrom, openRun } from './run-input.js';
import { VERSION } from './version.js';

const EXAMPLES = `
Examples:
  matchmark compare handover-2030 run-20311231-090000               what changed since the handover
  matchmark compare before.json after.json --out changes            and write changes/compare.html and compare.json
  matchmark compare handover-2030 run-20311231-090000 --json        the same for a program

Nothing is probed. Ends with 1 where something got worse: a new stop or fix finding, or something that was as planned and is not.
`;

export const registerCompare = defineCommand({
  name: 'compare',
  summary: 'what changed between two runs',
  description:
    'Compares a newer run with an older one: findings, exchanged devices, moved cables, planned facts, redundancy, software.',
  examples: EXAMPLES,
  shape: (command) =>
    command
      .argument('<old>', 'folder of the older run, or its matrix.json')
      .argument('<new>', 'folder of the newer run, or its matrix.json'),
  work: async (deps, old: string, fresh: string, options: CommonOptions) => {
    const [before, now] = [await openRun(old, deps), await openRun(fresh, deps)];
    const style = textStyle(deps.stdout, deps);
    const { comparison, json, text, html } = await derivedFrom([old, fresh], deps, () => {
      const changes = compareRuns(before.matrix, now.matrix, VERSION);
      return {
        comparison: changes,
        json: `${JSON.stringify(changes, null, 1)}\n`,
        html: options.out === undefined ? '' : renderComparePage(changes),
        text: options.quiet ? renderWorse(changes, style) : renderComparison(changes, style),
      };
    });
    if (options.out !== undefined) {
      const folder = path.resolve(deps.cwd, options.out);
      await prepareFolder(folder);
      const file = path.join(folder, 'compare.json');
      await writeWhole(file, json);
      const page = path.join(folder, 'compare.html');
      await writeWhole(page, html);
      if (!options.quiet)
        deps.stderr.write(`Written: ${shownPath(page, deps.cwd)} (compare.json beside it)\n`);
    }
    if (options.json) deps.stdout.document(json);
    else if (options.quiet) {
      deps.stdout.write(text);
      writeOpenFindings(comparison.findings.new, deps);
    } else deps.stdout.write(text);
    return comparison.worse ? EXIT.findings : EXIT.clean;
  },
});
