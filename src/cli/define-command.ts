/** What every command has: the options common to all, its examples before its help, errors as one message, an exit status. */
import type { Command } from 'commander';
import { type CliDeps, reportError, withCommonOptions } from './common.js';

export interface CommandDefinition<Given extends unknown[]> {
  readonly name: string;
  /** Its line in the help of the program. */
  readonly summary: string;
  readonly description: string;
  /** Shown before its options, as they would be typed. */
  readonly examples: string;
  /** Adds its arguments and own options. */
  readonly shape?: (command: Command) => Command;
  /** Does the job and gives the exit status. `given`: its arguments in their order, then its options. */
  readonly work: (deps: CliDeps, ...given: Given) => Promise<number>;
}

/** Adds a command to the program; `setStatus` takes the exit status. */
export function defineCommand<Given extends unknown[]>({
  name,
  summary,
  description,
  examples,
  shape = (command) => command,
  work,
}: CommandDefinition<Given>): (program: Command, deps: CliDeps, setStatus: (status: number) => void) => void {
  return (program, deps, setStatus) => {
    withCommonOptions(shape(program.command(name).summary(summary).description(description)))
      .addHelpText('before', examples.trimStart())
      .action(async (...given: unknown[]) => {
        try {
          setStatus(await work(deps, ...(given as Given)));
        } catch (error) {
          setStatus(reportError(deps, error));
        }
      });
  };
}
