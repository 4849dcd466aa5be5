import { createHash } from 'node:crypto';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { renderPage } from '../page/render.js';
import { renderCsv, renderEquipmentCsv, renderFindingsCsv } from '../result/csv.js';
import { exitStatusOf } from '../result/summary.js';
import { renderSummary } from '../terminal/summary.js';
import { nearestWord } from '../text/nearest.js';
import { type CliDeps, type CommonOptions, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { prepareFolder, writeWhole } from './files.js';
import { derivedFrom, type OpenedRun, openRun } from './run-input.js';

const FORMS = ['html', 'csv', 'text'] as const;
type Form = (typeof FORMS)[number];

interface ReportOptions extends CommonOptions {
  readonly as: Form;
}

/** One rendered file; the first of a report is what goes to standard output. */
interface Rendered {
  readonly name: string;
  readonly content: string;
}

const EXAMPLES = `
Examples:
  matchmark report run-20301231-090000                           the summary again, every finding written out
  matchmark report run-20301231-090000 --as html --out handover  the page into handover/matrix.html
  matchmark report run-20301231-090000 --as csv --out list.csv   one row an endpoint, for a spreadsheet
  matchmark report matrix.json --as csv --out handover           matrix.csv, findings.csv and equipment.csv

Nothing is probed: a report is made from the result alone.
`;

export const registerReport = defineCommand({
  name: 'report',
  summary: 'render HTML, CSV or text from a result, without probing',
  description:
    'Renders a finished run again. Without --out it goes to standard output; --out also takes a file name.',
  examples: EXAMPLES,
  shape: (command) =>
    command
      .argument('<run>', 'folder of a run, or its matrix.json')
      .option('--as <form>', 'html, csv or text', formOf, 'text'),
  work: async (deps, given: string, options: ReportOptions) => {
    const run = await openRun(given, deps);
    if (options.json === true) deps.stdout.document(run.text);
    else await put(await derivedFrom([given], deps, () => render(run, options, deps)), options, deps);
    return exitStatusOf(run.matrix.findings);
  },
});

function render(
  { matrix, text }: OpenedRun,
  { as, out }: ReportOptions,
  deps: CliDeps,
): readonly [Rendered, ...Rendered[]] {
  switch (as) {
    case 'html': {
      const digest = createHash('sha256').update(text).digest('hex');
      return [{ name: 'matrix.html', content: renderPage(matrix, { digest }) }];
    }
    case 'csv':
      return [
        { name: 'matrix.csv', content: renderCsv(matrix) },
        { name: 'findings.csv', content: renderFindingsCsv(matrix) },
        { name: 'equipment.csv', content: renderEquipmentCsv(matrix) },
      ];
    case 'text': {
      const style =
        out === undefined ? textStyle(deps.stdout, deps) : { width: 100, colour: false, unicode: true };
      return [{ name: 'matrix.txt', content: renderSummary(matrix, { ...style, all: true }) }];
    }
  }
}

async function put(
  files: readonly [Rendered, ...Rendered[]],
  options: ReportOptions,
  deps: CliDeps,
): Promise<void> {
  const { out } = options;
  if (out === undefined) {
    deps.stdout.document(files[0].content);
    return;
  }
  const place = path.resolve(deps.cwd, out);
  const isFile = /\.(html?|csv|txt)$/i.test(place);
  await prepareFolder(isFile ? path.dirname(place) : place);
  for (const { name, content } of isFile ? files.slice(0, 1) : files) {
    const file = isFile ? place : path.join(place, name);
    await writeWhole(file, content);
    if (options.quiet !== true) deps.stderr.write(`Written: ${path.relative(deps.cwd, file) || file}\n`);
  }
}

function formOf(given: string): Form {
  const form = FORMS.find((known) => known === given.toLowerCase());
  if (form !== undefined) return form;
  const near = nearestWord(given, FORMS);
  throw new MatchmarkError('usage', `a report cannot be made as "${given}"`, {
    next: `${near === undefined ? '' : `Did you mean "${near}"? `}It can be made as html, csv or text.`,
  });
}
