import { type Command, CommanderError, Option } from 'commander';
import { MatchmarkError } from '../errors.js';
import { consoleFacts } from '../system/console.js';
import { cleanText } from '../text/clean.js';
import type { Output } from './output.js';

/** What the world gives a command; tests pass their own. */
export interface CliDeps {
  readonly stdout: Output;
  readonly stderr: Output;
  /** Where commands to a drill come from; absent: standard input. */
  readonly stdin?: NodeJS.ReadableStream;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly platform: NodeJS.Platform;
  readonly cwd: string;
  /** Aborted by Ctrl-C, and by whatever else ends a run before its time. */
  readonly signal: AbortSignal;
  /** As if Ctrl-C were pressed: a terminal in raw mode gives the key itself. */
  readonly interrupt?: () => void;
  /** Runs what may keep the process busy while nothing can be lost: Ctrl-C then ends it at once. */
  readonly unguarded?: <T>(work: () => Promise<T>) => Promise<T>;
  readonly date: () => Date;
}

export interface CommonOptions {
  readonly json?: boolean;
  readonly out?: string;
  readonly vantage?: string;
  readonly quiet?: boolean;
}

/** Exit status (DESIGN 4). */
export const EXIT = { clean: 0, findings: 1, usage: 2, incomplete: 3, interrupted: 130 } as const;

/** Commands that look at a network: all others take --vantage, too, and have no use for it. */
const LOOKING: ReadonlySet<string> = new Set(['check', 'survey', 'follow', 'drill', 'demo', 'kit']);

/** Adds the options that every command has. */
export function withCommonOptions(command: Command): Command {
  return command
    .option('--json', 'put the result, and nothing else, on standard output as JSON')
    .option('--out <dir>', 'folder to write into', named('--out', 'a folder'))
    .addOption(
      new Option(
        '--vantage <name>',
        'name of the vantage, the place looked from (default: the name of this laptop)',
      )
        .argParser(named('--vantage', 'the place'))
        .hideHelp(!LOOKING.has(command.name())),
    )
    .option('--quiet', 'no progress, summary or notes: only what must be fixed, and errors');
}

/** An option that was given has to say something: `--out "$EMPTY"` is a slip of a script. */
function named(option: string, what: string): (text: string) => string {
  return (text) => {
    if (text.trim() !== '') return text;
    throw new MatchmarkError('usage', `${option} is given, but empty`, {
      next: `Name ${what}, or leave ${option} out.`,
    });
  };
}

/**
 * Makes a commander action of a function that returns an exit status. Errors of ours become one message and what to do next;
 * others are bugs and say so.
 */
export function action<Arguments extends unknown[]>(
  deps: CliDeps,
  setStatus: (status: number) => void,
  work: (...args: Arguments) => Promise<number>,
): (...args: Arguments) => Promise<void> {
  return async (...args) => {
    try {
      setStatus(await work(...args));
    } catch (error) {
      setStatus(reportError(deps, error));
    }
  };
}

/** Writes an error as its user should see it and gives the exit status. */
export function reportError(deps: Pick<CliDeps, 'stderr' | 'env'>, error: unknown): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.clean : EXIT.usage;
  if (error instanceof MatchmarkError) {
    deps.stderr.write(`matchmark: ${error.message}\n`);
    if (error.next !== undefined) deps.stderr.write(`  ${error.next}\n`);
    if (deps.env.MATCHMARK_DEBUG && error.cause instanceof TypeError)
      deps.stderr.write(`${error.cause.stack ?? ''}\n`);
    return error.code === 'write-failed' || error.code === 'program-unreadable'
      ? EXIT.incomplete
      : EXIT.usage;
  }
  const text = error instanceof Error ? error.message : String(error);
  deps.stderr.write(`matchmark: something went wrong inside the program: ${cleanText(text)}\n`);
  deps.stderr.write(
    '  Set MATCHMARK_DEBUG=1 and run it again to see where; nothing on the network was changed.\n',
  );
  if (deps.env.MATCHMARK_DEBUG && error instanceof Error) deps.stderr.write(`${error.stack ?? ''}\n`);
  return EXIT.incomplete;
}

/** Text settings for a stream: colour only on a terminal and never where NO_COLOR is set; ASCII where the console lacks Unicode. */
export function textStyle(
  output: Pick<Output, 'isTTY' | 'columns'>,
  deps: Pick<CliDeps, 'env' | 'platform'>,
): { width: number; colour: boolean; unicode: boolean } {
  return { width: output.columns ?? 100, ...consoleFacts(output.isTTY, deps.platform, deps.env) };
}
