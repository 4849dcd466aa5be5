import { setMaxListeners } from 'node:events';
import { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import { reasonOf } from '../files/reason.js';
import { forgetSecrets, wipeSecrets } from '../plan/secret.js';
import { addCommands } from './commands.js';
import { type CliDeps, EXIT, reportError } from './common.js';
import { errorText, fitHelp } from './help-text.js';
import { openOutput, type Sink, streamSink } from './output.js';
import { openSafetyNet } from './safety-net.js';
import { VERSION } from './version.js';

export { forAShortRun } from '../system/short-run.js';

/**
 * Runs one command line and gives the exit status. Only the safety net ends the process itself: at a second Ctrl-C, and where something
 * still holds it after a fault.
 */
export async function main(argv: readonly string[], given: Partial<World> = {}): Promise<number> {
  forgetSecrets();
  const net = openSafetyNet((error) => reportError(deps, error));
  const deps: CliDeps = {
    env: process.env,
    platform: process.platform,
    cwd: process.cwd(),
    signal: net.signal,
    interrupt: net.interrupt,
    unguarded: net.unguarded,
    date: () => new Date(),
    ...given,
    stdout: openOutput(given.stdout ?? streamSink(process.stdout)),
    stderr: openOutput(given.stderr ?? streamSink(process.stderr), wipeSecrets),
  };
  setMaxListeners(0, deps.signal);
  try {
    const givenUp = net.givenUp.then(() => EXIT.incomplete);
    return net.statusOf(await Promise.race([runProgram(argv, deps), givenUp]));
  } finally {
    net.close();
  }
}

/** What tests may replace: the outputs are given as sinks, so that the door stands before them too. */
type World = Omit<CliDeps, 'stdout' | 'stderr'> & { readonly stdout: Sink; readonly stderr: Sink };

const EXAMPLES = `Examples:
  matchmark demo                     see the whole job on an invented site; needs no network and no rights
  matchmark review address-list.csv  what is wrong with the list, before anyone drives to the site
  matchmark check address-list.csv   probe, compare, write the page to hand over
  matchmark check --help             examples and options of a command
`;

async function runProgram(argv: readonly string[], deps: CliDeps): Promise<number> {
  let status: number = EXIT.clean;
  const program = new Command('matchmark')
    .description('Is what I just plugged in what was planned, and can I prove it?')
    .version(VERSION, '--version', 'print the version')
    .helpOption('-h, --help', 'show this help')
    .helpCommand('help [command]', 'show the help of a command')
    .addHelpText('before', EXAMPLES)
    .configureOutput({
      writeOut: (text) => deps.stdout.write(fitHelp(text, deps.stdout.columns ?? Number.POSITIVE_INFINITY)),
      writeErr: (text) => deps.stderr.write(text),
      getOutHelpWidth: () => deps.stdout.columns ?? 100,
      getErrHelpWidth: () => deps.stderr.columns ?? 100,
      outputError: (text, write) => write(errorText(text)),
    })
    .showHelpAfterError('  "matchmark --help" shows every command.')
    .exitOverride();
  try {
    await addCommands(program, argv, deps, (value) => {
      status = value;
    });
  } catch (error) {
    return reportError(deps, unreadablePart(error));
  }
  for (const command of program.commands)
    command.showHelpAfterError(`  "matchmark ${command.name()} --help" shows examples and all options.`);
  if (argv.length === 0) {
    program.outputHelp();
    return EXIT.usage;
  }
  try {
    await program.parseAsync([...argv], { from: 'user' });
  } catch (error) {
    return reportError(deps, error);
  }
  return status;
}

/** The program lies in several files, and a command is read when it is asked for: too few files may be open, or one is gone. */
function unreadablePart(cause: unknown): unknown {
  if (typeof (cause as NodeJS.ErrnoException).code !== 'string') return cause;
  return new MatchmarkError(
    'program-unreadable',
    `a part of the program cannot be read: ${reasonOf(cause)}`,
    {
      cause,
      next: 'Let more files be open (ulimit -n 1024) or close other programs; else unpack the folder of the program anew.',
    },
  );
}
