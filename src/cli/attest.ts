import path from 'node:path';
import { itemFor, type ObservationItem, openItems, plannedItems } from '../attest/open-items.js';
import { type Answer, walkSummary } from '../attest/walk.js';
import { MatchmarkError } from '../errors.js';
import { meaningOfItem } from '../eyes/eyes.js';
import type { Matrix } from '../matrix/matrix.js';
import { evidenceOf } from '../result/build.js';
import { rejudge } from '../run/rejudge.js';
import type { Attestation } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { nearestWord } from '../text/nearest.js';
import { list } from '../text/sentence.js';
import { walkOnTerminal } from './attest-walk.js';

import { type CliDeps, type CommonOptions, EXIT } from './common.js';
import { defineCommand } from './define-command.js';
import { finishRun } from './finish-run.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { openRun, relyingOn } from './run-input.js';

interface AttestOptions extends CommonOptions, ReplaceOptions {
  readonly subject?: string;
  readonly item?: string;
  readonly saw?: string;
  readonly by?: string;
  readonly asPlanned?: boolean;
  readonly notAsPlanned?: boolean;
  readonly extra?: boolean;
}

const EXAMPLES = `
Examples:
  matchmark attest run-20301231-090000     walks through all that is open, in the order of the visit (on a terminal; else lists it)
  matchmark attest run-20301231-090000 --subject vault-1 --item "power lamp" --saw "steady green" --by "R. Hale"
  matchmark attest run-20301231-090000 --subject vault-1/A/fc0 --item "link light" --saw "lit" --by "R. Hale"
  matchmark attest run-20301231-090000 --subject vault-1/A/data0 --item "speed" --saw "10G by its lamp" --by "R. Hale"
  matchmark attest run-20301231-090000 --subject vault-1/A/data0 --item "switch port" --saw "loft-1 11" --by "R. Hale"
  matchmark attest run-20301231-090000 --subject "rack R3" --item "door" --saw "locked" --by "R. Hale" --extra

What eyes saw is written into the run, with the name and the time, and the run is judged again. It never looks measured.
`;

export const registerAttest = defineCommand({
  name: 'attest',
  summary: 'record what eyes saw, and by whom',
  description:
    'Records an observation in a finished run: lamps, light, labels; what no probe can prove. Without options on a terminal it asks for each that is open.',
  examples: EXAMPLES,
  shape: (command) =>
    withReplaceOption(command)
      .argument('<run>', 'folder of a run, or its matrix.json')
      .option('--subject <subject>', 'device, endpoint or other thing that was looked at')
      .option('--item <item>', 'what of it: "power lamp", "link light", "speed", "switch port"')
      .option('--saw <text>', 'what was seen')
      .option('--by <who>', 'who saw it')
      .option('--as-planned', 'what was seen is what was planned, where the words cannot tell')
      .option('--not-as-planned', 'what was seen is not what was planned, where the words cannot tell')
      .option('--extra', 'record it although the plan does not ask for it'),
  work: (deps, run: string, options: AttestOptions) => attest(run, options, deps),
});

async function attest(run: string, options: AttestOptions, deps: CliDeps): Promise<number> {
  const { matrix, folder } = await openRun(run, deps);
  const { subject, item, saw, by } = options;
  const bare = [subject, item, saw].every((given) => given === undefined);
  if (bare && isTerminal(options, deps)) return walk(run, matrix, folder, options, deps);
  if (bare && by === undefined) return listOpen(matrix, options, deps);
  const attestation = oneLine(matrix, options, deps);
  return record(run, folder, [attestation], options, deps);
}

/** A script gets the list; a person is asked. */
function isTerminal(options: AttestOptions, deps: CliDeps): boolean {
  return options.json !== true && (deps.stdin !== undefined || process.stdin.isTTY === true);
}

async function walk(
  run: string,
  matrix: Matrix,
  folder: string,
  options: AttestOptions,
  deps: CliDeps,
): Promise<number> {
  const items = openItems(matrix);
  if (items.length === 0) return listOpen(matrix, options, deps);
  const { by, answers } = await walkOnTerminal(items, options.by, deps);
  deps.stdout.write(`${walkSummary(items, answers)}\n`);
  const interrupted = deps.signal.aborted;
  if (by === undefined || answers.length === 0) return interrupted ? EXIT.interrupted : EXIT.clean;
  const at = deps.date().toISOString();
  const said = answers.map((answer) => attestationOf(answer, by, at));
  const status = await record(run, folder, said, options, deps);
  return interrupted ? EXIT.interrupted : status;
}

function attestationOf({ look, saw, agrees }: Answer, by: string, at: string): Attestation {
  const { subject, item } = look;
  return { subject, item, saw: cleanText(saw), by, at, ...(agrees === undefined ? {} : { agrees }) };
}

/** Another may record at the same time: each waits its turn and adds to what stands there then. */
const TURN_MS = 10_000;

async function record(
  run: string,
  folder: string,
  attestations: readonly Attestation[],
  options: AttestOptions,
  deps: CliDeps,
): Promise<number> {
  const into = options.out === undefined ? folder : path.resolve(deps.cwd, options.out);
  return inFolder(into, { waitMs: TURN_MS }, async () => {
    await requireReplaceable(into, options, { evidence: into === folder });
    const { matrix } = await openRun(run, deps);
    const [first, ...others] = evidenceOf(matrix);
    if (first === undefined)
      throw new MatchmarkError('result-invalid', 'the run holds no evidence to add to');
    return relyingOn([run], () => {
      const again = rejudge(matrix, [
        { ...first, attestations: [...first.attestations, ...attestations] },
        ...others,
      ]);
      return finishRun(again, into, options, deps);
    });
  });
}

function listOpen(matrix: Matrix, options: CommonOptions, deps: CliDeps): number {
  const open = openItems(matrix);
  if (options.json)
    deps.stdout.document(
      `${JSON.stringify({ open: open.map(({ stated: _stated, ...look }) => look) }, null, 1)}\n`,
    );
  else if (open.length === 0) deps.stdout.write('Nothing is left to look at.\n');
  else {
    deps.stdout.write('Still to be looked at:\n');
    for (const { subject, item, expect, stated } of open)
      deps.stdout.write(
        `  ${cleanText(subject)}: ${cleanText(item)}${stated ? `, expected ${cleanText(expect)}` : ''}\n`,
      );
    deps.stdout.write('Record each with --subject, --item, --saw and --by.\n');
  }
  // What nobody has looked at yet is a note (DESIGN 4: above a note ends with 1).
  return EXIT.clean;
}

/** One observation, given by options. */
function oneLine(matrix: Matrix, options: AttestOptions, deps: CliDeps): Attestation {
  const { subject, item, saw, by } = requireAll(options);
  const agrees = saidAgreement(options);
  const at = deps.date().toISOString();
  const given = { subject, item, saw, by, at, ...(agrees === undefined ? {} : { agrees }) };
  const look = itemFor(matrix, subject, item);
  if (look === undefined) {
    if (options.extra !== true) throw notPlanned(matrix, subject, item);
    return { ...given, extra: true };
  }
  if (agrees === undefined && meaningOfItem(saw, look.expect, item) === 'unclear') {
    const wanted = look.stated ? `"${look.expect}"` : 'as it should be';
    throw new MatchmarkError('usage', `whether "${saw}" is ${wanted} cannot be told from the words`, {
      next: `Say it with --as-planned or --not-as-planned, or use the words of the plan: --saw "${look.expect}".`,
    });
  }
  return given;
}

function saidAgreement({ asPlanned, notAsPlanned }: AttestOptions): boolean | undefined {
  if (asPlanned === true && notAsPlanned === true)
    throw new MatchmarkError('usage', '--as-planned and --not-as-planned exclude each other', {
      next: 'Give one of them, or neither where the words say it.',
    });
  if (asPlanned === true) return true;
  return notAsPlanned === true ? false : undefined;
}

function requireAll(options: AttestOptions): Record<'subject' | 'item' | 'saw' | 'by', string> {
  const { subject, item, saw, by } = options;
  const given = { subject, item, saw, by };
  const absent = Object.entries(given).flatMap(([name, value]) =>
    value === undefined || value.trim() === '' ? [`--${name}`] : [],
  );
  if (absent.length > 0)
    throw new MatchmarkError('usage', `an observation needs ${list(absent)}`, {
      next: 'Say what was looked at (--subject), what of it (--item), what was seen (--saw) and by whom (--by).',
    });
  return {
    subject: cleanText(subject ?? ''),
    item: cleanText(item ?? ''),
    saw: cleanText(saw ?? ''),
    by: cleanText(by ?? ''),
  };
}

/** With the nearest that the plan does ask for. */
function notPlanned(matrix: Matrix, subject: string, item: string): MatchmarkError {
  const items = plannedItems(matrix);
  const known = new Set([
    ...items.map((look) => look.subject),
    ...matrix.plan.model.devices.map(({ name }) => name),
    ...matrix.groups.map(({ name }) => name),
  ]);
  const anyway = 'Record it all the same with --extra.';
  if (!known.has(subject)) {
    const near = nearestWord(subject, known);
    return new MatchmarkError('usage', `the plan has nothing called "${subject}"`, {
      next:
        near === undefined
          ? `It asks for ${examples(items)}. ${anyway}`
          : `Did you mean "${near}"? ${anyway}`,
    });
  }
  const there = items.filter((look) => look.subject === subject);
  const near = nearestWord(
    item,
    there.map((look) => look.item),
  );
  const look = there.find((one) => one.item === near);
  return new MatchmarkError('usage', `the plan does not ask for "${item}" of ${subject}`, {
    next: `${
      look !== undefined
        ? `Did you mean "${look.item}"?`
        : there.length > 0
          ? `Of ${subject} it asks for ${list([...new Set(there.map((one) => one.item))])}.`
          : `It asks for ${examples(items)}.`
    } ${anyway}`,
  });
}

function examples(items: readonly ObservationItem[]): string {
  return list(
    items.map(({ subject, item }) => `${subject}: ${item}`),
    3,
  );
}
