import { lstat } from 'node:fs/promises';
import path from 'node:path';
import type { Command } from 'commander';
import { addressListText } from '../draft/address-list.js';
import { type Draft, draftOf } from '../draft/draft.js';
import { planText } from '../draft/plan-text.js';
import { MatchmarkError } from '../errors.js';
import { COLUMNS } from '../plan-file/columns.js';
import { exitStatusOf, summarise } from '../result/summary.js';
import { renderDraft } from '../terminal/draft.js';
import { action, type CliDeps, type CommonOptions, textStyle, withCommonOptions } from './common.js';
import { readEquipment } from './equipment-input.js';
import { prepareFolder, runFolderName, shownPath, writeWhole } from './files.js';
import { writeUnsettled } from './quiet.js';
import { VERSION } from './version.js';

interface DraftOptions extends CommonOptions {
  readonly force?: boolean;
}

const LIST = 'address-list.csv';
const PLAN = 'plan.yaml';

const EXAMPLES = `
Examples:
  matchmark draft equipment.yaml --out site          how many addresses it needs, whether they are there, who gets which
  matchmark review site/plan.yaml                    then: what is wrong with the list, before anyone drives
  matchmark draft equipment.yaml --out site --force  draft again over a list that nobody has filled in yet

Writes address-list.csv, a plan.yaml that names it, and draft.json. Lowest free address first: never a gateway, a reserved
address, one that others have, or a factory default. fixtures/equipment.yaml is an annotated example. Nothing is sent
to any network.
`;

export function registerDraft(program: Command, deps: CliDeps, setStatus: (status: number) => void): void {
  withCommonOptions(
    program
      .command('draft')
      .summary('an equipment list: how many addresses it needs, and an address list with them')
      .description(
        'Counts the addresses of an equipment list, says whether the networks have them, and writes the list.',
      )
      .argument('<equipment>', 'equipment list (YAML or JSON)')
      .option('--force', 'replace an address list and a plan that stand in the folder already'),
  )
    .addHelpText('before', EXAMPLES.trimStart())
    .action(action(deps, setStatus, (file: string, options: DraftOptions) => draft(file, options, deps)));
}

async function draft(file: string, options: DraftOptions, deps: CliDeps): Promise<number> {
  const quiet = options.quiet === true;
  const drafted = draftOf(await readEquipment(file, deps, quiet));
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'draft'));
  if (drafted.suffices && options.force !== true) await requireRoom(folder, deps);
  await prepareFolder(folder);
  const json = `${JSON.stringify(resultOf(drafted), null, 1)}\n`;
  await writeWhole(path.join(folder, 'draft.json'), json);
  if (drafted.suffices) {
    await writeWhole(path.join(folder, LIST), addressListText(drafted.endpoints, COLUMNS));
    await writeWhole(path.join(folder, PLAN), planText(drafted.plan, LIST));
  }
  if (options.json) deps.stdout.write(json);
  else if (quiet) writeUnsettled(drafted.findings, deps);
  else deps.stdout.write(renderDraft(drafted, textStyle(deps.stdout, deps)));
  if (!quiet) {
    for (const note of drafted.notes) deps.stderr.write(`note: ${note}\n`);
    const list = shownPath(path.join(folder, LIST), deps.cwd);
    deps.stderr.write(
      drafted.suffices
        ? `List: ${list} (${PLAN} and draft.json beside it)\n`
        : `No ${LIST} was written; the count stands in ${shownPath(path.join(folder, 'draft.json'), deps.cwd)}\n`,
    );
  }
  return exitStatusOf(drafted.findings);
}

/** A list that somebody has worked on is not ours to replace. */
async function requireRoom(folder: string, deps: CliDeps): Promise<void> {
  for (const name of [LIST, PLAN]) {
    const there = await lstat(path.join(folder, name)).then(
      () => true,
      () => false,
    );
    if (there)
      throw new MatchmarkError(
        'usage',
        `${shownPath(path.join(folder, name), deps.cwd)} is there already; nothing was written`,
        { next: 'Name another folder with --out DIR, or replace it with --force.' },
      );
  }
}

function resultOf({ site, networks, devices, endpoints, suffices, findings, notes }: Draft) {
  return {
    format: 'matchmark.draft/1',
    version: VERSION,
    site: site.name,
    ...(site.reference === undefined ? {} : { reference: site.reference }),
    suffices,
    networks,
    devices,
    endpoints: endpoints.map(({ id, device, controller = '', port, role, network = '', address = '' }) => ({
      id,
      device,
      controller,
      port,
      role,
      network,
      address,
    })),
    findings,
    notes,
    summary: summarise([], findings),
  };
}
