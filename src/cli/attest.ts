import path from 'node:path';
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import { lightOf } from '../facts/no-address.js';
import type { Matrix } from '../matrix/matrix.js';
import { evidenceOf } from '../result/build.js';
import { rejudge } from '../run/rejudge.js';
import { cleanText } from '../text/clean.js';
import { nearestWord } from '../text/nearest.js';
import { list } from '../text/sentence.js';
import { finishRun } from './check.js';
import { action, type CliDeps, type CommonOptions, EXIT, withCommonOptions } from './common.js';
import { prepareFolder } from './files.js';
import { openRun, relyingOn } from './run-input.js';

interface AttestOptions extends CommonOptions {
  readonly subject?: string;
  readonly item?: string;
  readonly saw?: string;
  readonly by?: string;
}

const EXAMPLES = `
Examples:
  matchmark attest run-20301231-090000     what is still to be looked at
  matchmark attest run-20301231-090000 --subject vault-1 --item "power lamp" --saw "steady green" --by "R. Hale"
  matchmark attest run-20301231-090000 --subject vault-1/A/fc0 --item "link light" --saw "lit" --by "R. Hale"

What eyes saw is written into the run, with the name and the time, and the run is judged again.
`;

export function registerAttest(program: Command, deps: CliDeps, setStatus: (status: number) => void): void {
  withCommonOptions(
    program
      .command('attest')
      .summary('record what eyes saw, and by whom')
      .description('Records an observation in a finished run: lamps, light, labels; what no probe can prove.')
      .argument('<run>', 'folder of a run, or its matrix.json')
      .option('--subject <subject>', 'device, endpoint or other thing that was looked at')
      .option('--item <item>', 'what of it: "power lamp", "link light"')
      .option('--saw <text>', 'what was seen')
      .option('--by <who>', 'who saw it'),
  )
    .addHelpText('before', EXAMPLES.trimStart())
    .action(
      action(deps, setStatus, async (run: string, options: AttestOptions) => {
        const { matrix, folder } = await openRun(run, deps);
        if ([options.subject, options.item, options.saw, options.by].every((given) => given === undefined))
          return listOpen(matrix, options, deps);
        const { subject, item, saw, by } = requireAll(options);
        requireSubject(matrix, subject);
        const [first, ...others] = evidenceOf(matrix);
        if (first === undefined)
          throw new MatchmarkError('result-invalid', 'the run holds no evidence to add to');
        const attestation = { subject, item, saw, by, at: deps.date().toISOString() };
        const again = await relyingOn([run], () =>
          rejudge(matrix, [{ ...first, attestations: [...first.attestations, attestation] }, ...others]),
        );
        const into = options.out === undefined ? folder : path.resolve(deps.cwd, options.out);
        await prepareFolder(into);
        return relyingOn([run], () => finishRun(again, into, options, deps));
      }),
    );
}

function listOpen(matrix: Matrix, options: CommonOptions, deps: CliDeps): number {
  const open = openOf(matrix);
  if (options.json) deps.stdout.write(`${JSON.stringify({ open }, null, 1)}\n`);
  else if (open.length === 0) deps.stdout.write('Nothing is left to look at.\n');
  else {
    deps.stdout.write('Still to be looked at:\n');
    for (const { subject, item, expect } of open)
      deps.stdout.write(`  ${subject}: ${item}${expect === undefined ? '' : `, expected ${expect}`}\n`);
    deps.stdout.write('Record each with --subject, --item, --saw and --by.\n');
  }
  // What nobody has looked at yet is a note (DESIGN 4: above a note ends with 1).
  return EXIT.clean;
}

interface Open {
  readonly subject: string;
  readonly item: string;
  readonly expect?: string;
}

/** What the plan asks for, then the lights of ports that have no address and that it does not ask for by itself. */
function openOf({ observations, findings, endpoints }: Matrix): readonly Open[] {
  const asked = observations.filter(({ verdict }) => verdict === 'open');
  const open = new Set(
    findings.filter(({ code }) => code === 'observation-open').map(({ subject }) => subject),
  );
  const lights = endpoints
    .filter(({ id }) => open.has(id) && !asked.some(({ subject }) => subject === id))
    .map(({ id, role }) => ({ subject: id, item: lightOf(role) }));
  return [...asked, ...lights];
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

function requireSubject(matrix: Matrix, subject: string): void {
  const known = new Set([
    ...matrix.observations.map((observation) => observation.subject),
    ...matrix.endpoints.flatMap(({ id, device }) => [id, device]),
    ...matrix.plan.model.devices.map(({ name }) => name),
    ...matrix.groups.map(({ name }) => name),
  ]);
  if (known.has(subject)) return;
  const near = nearestWord(subject, known);
  throw new MatchmarkError('usage', `the plan has nothing called "${subject}"`, {
    next:
      near === undefined ? 'Name a device, an endpoint or a group of the plan.' : `Did you mean "${near}"?`,
  });
}
