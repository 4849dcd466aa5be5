import path from 'node:path';
import { openItems } from '../attest/open-items.js';
import { type Answer, walkSummary } from '../attest/walk.js';
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../matrix/matrix.js';
import { evidenceOf } from '../result/build.js';
import { rejudge } from '../run/rejudge.js';
import type { Attestation } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import { keptAnswers, leftAnswers } from './attest-kept.js';
import { type ObservationOptions, oneObservation } from './attest-one.js';
import { walkOnTerminal } from './attest-walk.js';
import { type CliDeps, type CommonOptions, EXIT } from './common.js';
import { defineCommand } from './define-command.js';
import { reasonOf } from './files.js';
import { finishRun } from './finish-run.js';
import { inFolder, type ReplaceOptions, requireReplaceable, withReplaceOption } from './out-folder.js';
import { derivedFrom, openRun, relyingOn } from './run-input.js';

interface AttestOptions extends CommonOptions, ReplaceOptions, ObservationOptions {}

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
  const { matrix: opened, folder } = await openRun(run, deps);
  const { subject, item, saw, by } = options;
  const bare = [subject, item, saw].every((given) => given === undefined);
  if (bare && by === undefined && !isTerminal(options, deps)) return listOpen(opened, options, deps);
  const matrix = await recordLeft(run, opened, folder, options, deps);
  if (bare && isTerminal(options, deps)) return walk(run, matrix, folder, options, deps);
  const attestation = oneObservation(matrix, options, deps.date().toISOString());
  return record(run, folder, [attestation], options, deps);
}

/** A walk that was cut off left answers: they are recorded first. */
async function recordLeft(
  run: string,
  matrix: Matrix,
  folder: string,
  options: AttestOptions,
  deps: CliDeps,
): Promise<Matrix> {
  const into = intoOf(folder, options, deps);
  const left = await leftAnswers(into, matrix.run.id);
  if (left.answers.length === 0) return matrix;
  await record(run, folder, left.answers, { ...options, json: false, quiet: true }, deps);
  await left.forget();
  if (options.quiet !== true)
    deps.stderr.write(`${count(left.answers.length, 'answer')} of a walk that was cut off: recorded.\n`);
  return (await openRun(into, deps)).matrix;
}

function intoOf(folder: string, { out }: AttestOptions, deps: CliDeps): string {
  return out === undefined ? folder : path.resolve(deps.cwd, out);
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
  const kept = keptAnswers(intoOf(folder, options, deps), matrix.run.id);
  const onAnswer = async (answer: Answer, who: string): Promise<void> => {
    const before = kept.fault();
    await kept.keep(attestationOf(answer, who, deps.date().toISOString()));
    if (before === undefined && kept.fault() !== undefined)
      deps.stderr.write(
        `Answers cannot be saved one by one (${reasonOf(kept.fault())}): end with q to save all.\n`,
      );
  };
  const { by, answers } = await walkOnTerminal(items, options.by, deps, onAnswer);
  deps.stdout.write(`${walkSummary(items, answers)}\n`);
  const interrupted = deps.signal.aborted;
  if (by === undefined || answers.length === 0) return interrupted ? EXIT.interrupted : EXIT.clean;
  const at = deps.date().toISOString();
  const said = answers.map((answer) => attestationOf(answer, by, at));
  const status = await record(run, folder, said, options, deps);
  await kept.forget();
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
  const into = intoOf(folder, options, deps);
  return inFolder(into, { waitMs: TURN_MS }, async () => {
    await requireReplaceable(into, options, deps, { evidence: into === folder });
    const { matrix } = await openRun(run, deps);
    const [first, ...others] = evidenceOf(matrix);
    if (first === undefined)
      throw new MatchmarkError('result-invalid', 'the run holds no evidence to add to');
    const again = await derivedFrom([run], deps, () =>
      rejudge(matrix, [{ ...first, attestations: [...first.attestations, ...attestations] }, ...others]),
    );
    return relyingOn([run], () => finishRun(again, into, options, deps));
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
