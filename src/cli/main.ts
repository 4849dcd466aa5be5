import { setMaxListeners } from 'node:events';
import { Command } from 'commander';
import { addCommands } from './commands.js';
import { type CliDeps, EXIT, type Output, reportError } from './common.js';
import { errorText, fitHelp } from './help-text.js';
import { VERSION } from './version.js';

/** Runs one command line and gives the exit status. Never calls process.exit. */
export async function main(argv: readonly string[], given: Partial<CliDeps> = {}): Promise<number> {
  const interrupt = new AbortController();
  const deps: CliDeps = {
    stdout: streamOutput(process.stdout),
    stderr: streamOutput(process.stderr),
    env: process.env,
    platform: process.platform,
    cwd: process.cwd(),
    signal: interrupt.signal,
    date: () => new Date(),
    ...given,
  };
  // Every question under way listens to it; Node would take more than ten for a leak and say so.
  setMaxListeners(0, deps.signal);
  const onSignal = (): void => {
    // A second Ctrl-C means it.
    if (interrupt.signal.aborted) process.exit(EXIT.interrupted);
    interrupt.abort();
  };
  process.on('SIGINT', onSignal);
  process.on('SIGTERM', onSignal);
  // `matchmark ... | head`: the reader left, which is no fault of ours.
  // Stays on: the news of a closed pipe may come after the last write.
  for (const stream of [process.stdout, process.stderr])
    if (!stream.listeners('error').includes(ignoreClosedPipe)) stream.on('error', ignoreClosedPipe);
  try {
    return await runProgram(argv, deps);
  } finally {
    process.off('SIGINT', onSignal);
    process.off('SIGTERM', onSignal);
  }
}

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
  await addCommands(program, argv, deps, (value) => {
    status = value;
  });
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

function streamOutput(stream: NodeJS.WriteStream): Output {
  return {
    write: (text) => {
      stream.write(text);
    },
    isTTY: stream.isTTY === true,
    // Asked each time, since a window may change its size. A terminal without a size says 0.
    get columns() {
      return stream.columns || undefined;
    },
    get rows() {
      return stream.rows || undefined;
    },
  };
}

function ignoreClosedPipe(error: NodeJS.ErrnoException): void {
  if (error.code !== 'EPIPE') throw error;
}
