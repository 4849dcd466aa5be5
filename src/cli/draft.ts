import { lstat } from 'node:fs/promises';
import path from 'node:path';
import type { Command } from 'commander';
import { addressListCsv, addressListRows } from '../draft/address-list.js';
import { type Draft, type DraftInputs, draftOf } from '../draft/draft.js';
import { eyesRows } from '../draft/eyes-list.js';
import { noteText } from '../draft/notes.js';
import { planText } from '../draft/plan-text.js';
import { MatchmarkError } from '../errors.js';
import { parseAddress } from '../plan/address.js';
import { COLUMNS } from '../plan-file/columns.js';
import { exitStatusOf, summarise } from '../result/summary.js';
import { renderDraft } from '../terminal/draft.js';
import { cleanText } from '../text/clean.js';
import { action, type CliDeps, type CommonOptions, textStyle, withCommonOptions } from './common.js';
import { endable } from './endable.js';
import { readEquipment, readEyes } from './equipment-input.js';
import { prepareFolder, runFolderName, shownPath, writeWhole } from './files.js';
import { readPlan } from './plan-input.js';
import { writeOpenFindings } from './quiet.js';
import { readSurvey } from './survey-input.js';
import { VERSION } from './version.js';

interface DraftOptions extends CommonOptions {
  readonly force?: boolean;
  readonly keep?: string;
  readonly inUse?: string;
  readonly eyes?: string;
}

const LIST = 'address-list.csv';
const WORKBOOK = 'address-list.xlsx';
const PLAN = 'plan.yaml';
const EYES = 'eyes.csv';
const NOTE_LIMIT = 600;

const EXAMPLES = `
Examples:
  matchmark draft equipment.yaml --out site          how many addresses it needs, whether they are there, who gets which
  matchmark review site/plan.yaml                    then: what is wrong with the list, before anyone drives
  matchmark draft equipment.yaml --keep site/address-list.csv --out site-2
                                                     devices were added: numbers that were given stay
  matchmark draft equipment.yaml --in-use before/survey.json --out site
                                                     addresses that answered in a survey are not given out

Writes address-list.csv and .xlsx, a plan.yaml that names the list, eyes.csv (what only eyes can prove, by step of the visit;
--eyes adds the customer's own) and draft.json. Lowest free address first, in the order of the list: never a gateway, a reserved
address, one that others have, or a factory default. Where the list has switches with ports, each cable gets one, and the
controllers of a device never share a switch. fixtures/equipment.yaml is an annotated example; the same keys do as columns of a
CSV or XLSX, a row a port. Nothing is sent to any network.
`;

export function registerDraft(program: Command, deps: CliDeps, setStatus: (status: number) => void): void {
  withCommonOptions(
    program
      .command('draft')
      .summary('an equipment list: how many addresses it needs, and an address list with them')
      .description(
        'Counts the addresses of an equipment list, says whether the networks have them, and writes the list.',
      )
      .argument('<equipment>', 'equipment list (YAML, JSON, CSV or XLSX)')
      .option('--keep <list>', 'address list or plan that was given out before: its numbers stay')
      .option('--in-use <survey>', 'survey.json: what answered there is not given out')
      .option(
        '--eyes <list>',
        "the customer's own list of what to look at (columns subject, item, expect, when)",
      )
      .option('--force', 'replace an address list and a plan that are in the folder already'),
  )
    .addHelpText('before', EXAMPLES.trimStart())
    .action(action(deps, setStatus, (file: string, options: DraftOptions) => draft(file, options, deps)));
}

async function draft(file: string, options: DraftOptions, deps: CliDeps): Promise<number> {
  const quiet = options.quiet === true;
  const equipment = await readEquipment(file, deps, quiet);
  const inputs = await readInputs(options, deps, quiet);
  const drafted = await endable(deps, async () => draftOf(equipment, inputs));
  const folder = path.resolve(deps.cwd, options.out ?? runFolderName(deps.date(), 'draft'));
  if (drafted.suffices && options.force !== true) await requireRoom(folder, deps);
  await prepareFolder(folder);
  const json = `${JSON.stringify(resultOf(drafted), null, 1)}\n`;
  await writeWhole(path.join(folder, 'draft.json'), json);
  if (drafted.suffices) {
    const rows = addressListRows(drafted.endpoints, COLUMNS);
    const { workbookOf } = await import('../plan-file/workbook-text.js');
    await writeWhole(path.join(folder, LIST), addressListCsv(rows));
    await writeWhole(path.join(folder, WORKBOOK), await workbookOf('Addresses', rows));
    await writeWhole(path.join(folder, EYES), addressListCsv(eyesRows(drafted.plan.observe)));
    await writeWhole(path.join(folder, PLAN), planText(drafted.plan, LIST));
  }
  if (options.json) deps.stdout.write(json);
  else if (quiet) writeOpenFindings(drafted.findings, deps);
  else deps.stdout.write(renderDraft(drafted, textStyle(deps.stdout, deps)));
  if (!quiet) {
    for (const note of drafted.notes) deps.stderr.write(`note: ${cleanText(noteText(note), NOTE_LIMIT)}\n`);
    const list = shownPath(path.join(folder, LIST), deps.cwd);
    deps.stderr.write(
      drafted.suffices
        ? `List: ${list} (${WORKBOOK}, ${PLAN}, ${EYES} and draft.json beside it)\n`
        : `No ${LIST} was written; the count stands in ${shownPath(path.join(folder, 'draft.json'), deps.cwd)}\n`,
    );
  }
  return exitStatusOf(drafted.findings);
}

async function readInputs(options: DraftOptions, deps: CliDeps, quiet: boolean): Promise<DraftInputs> {
  const previous = options.keep === undefined ? undefined : await readPlan(options.keep, deps, quiet);
  const survey = options.inUse === undefined ? undefined : await readSurvey(options.inUse, deps);
  const observe = options.eyes === undefined ? undefined : await readEyes(options.eyes, deps, quiet);
  return {
    ...(previous === undefined ? {} : { previous: previous.endpoints }),
    ...(survey === undefined
      ? {}
      : { surveyed: survey.entries.flatMap(({ address }) => parseAddress(address) ?? []) }),
    ...(observe === undefined ? {} : { observe }),
  };
}

/** A list that somebody has worked on is not ours to replace. */
async function requireRoom(folder: string, deps: CliDeps): Promise<void> {
  for (const name of [LIST, WORKBOOK, PLAN, EYES]) {
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

function resultOf({ site, networks, devices, endpoints, plan, suffices, findings, notes }: Draft) {
  return {
    format: 'matchmark.draft/1',
    version: VERSION,
    site: site.name,
    ...(site.reference === undefined ? {} : { reference: site.reference }),
    suffices,
    networks,
    devices,
    endpoints: endpoints.map((endpoint) => ({
      id: endpoint.id,
      device: endpoint.device,
      controller: endpoint.controller ?? '',
      port: endpoint.port,
      role: endpoint.role,
      network: endpoint.network ?? '',
      address: endpoint.address ?? '',
      switch: endpoint.switch ?? '',
      switchPort: endpoint.switchPort ?? '',
    })),
    observe: plan.observe.map(({ when = '', subject, item, expect }) => ({ when, subject, item, expect })),
    findings,
    notes: notes.map((note) => ({ ...note, says: noteText(note) })),
    summary: summarise([], findings),
  };
}
