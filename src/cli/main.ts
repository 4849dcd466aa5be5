import { setMaxListeners } from 'node:events';
import { Command } from 'commander';
import { COMMANDS } from './commands.js';
import { type CliDeps, EXIT, type Output, reportError } from './common.js';
import { VERSION } from './version.js';

/** Runs one command line and gives the exit status. Never calls process.exit. */
export async function main(argv: readonly string[], given: Partial<CliDeps> = {}): Promise<number> {
  const interrupt = new AbortController();
  // Every question under way listens to it; Node would take more than ten for a leak and say so.
  setMaxListeners(0, interrupt.signal);
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
  const onSignal = (): void => {
    // A second Ctrl-C means it.
    if (interrupt.signal.aborted) process.exit(EXIT.interrupted);
    interrupt.abort();
  };
  process.on('SIGINT', onSignal);
  process.on('SIGTERM', onSignal);
  // `matchmark ... | head`: the reader left, which is no fault of ours.
  process.stdout.on('error', ignoreClosedPipe);
  try {
    return await runProgram(argv, deps);
  } finally {
    process.off('SIGINT', onSignal);
    process.off('SIGTERM', onSignal);
    process.stdout.off('error', ignoreClosedPipe);
  }
}

async function runProgram(argv: readonly string[], deps: CliDeps): Promise<number> {
  let status: number = EXIT.clean;
  const program = new Command('matchmark')
    .description('Is what I just plugged in what was planned, and can I prove it?')
    .version(VERSION, '--version', 'print the version')
    .helpOption('-h, --help', 'show this help')
    .helpCommand(false)
    .configureOutput({
      writeOut: (text) => deps.stdout.write(text),
      writeErr: (text) => deps.stderr.write(text),
      getOutHelpWidth: () => deps.stdout.columns ?? 100,
      getErrHelpWidth: () => deps.stderr.columns ?? 100,
      outputError: (text, write) => write(text.replace(/^error: /, 'matchmark: ')),
    })
    .showHelpAfterError('  Run it with --help for examples and all options.')
    .exitOverride();
  for (const register of COMMANDS) {
    register(program, deps, (value) => {
      status = value;
    });
  }
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
    columns: stream.columns,
  };
}

function ignoreClosedPipe(error: NodeJS.ErrnoException): void {
  if (error.code !== 'EPIPE') throw error;
}
