/** Runs one command of the program with outputs that are kept, without a process. */
import { Command } from 'commander';
import type { Register } from '../../src/cli/commands.js';
import type { CliDeps } from '../../src/cli/common.js';
import { reportError } from '../../src/cli/common.js';
import { openOutput } from '../../src/cli/output.js';

export interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

export async function runCommand(
  register: Register,
  argv: readonly string[],
  cwd = process.cwd(),
): Promise<Ran> {
  const written = { out: '', err: '' };
  const keep = (stream: 'out' | 'err', text: string): void => {
    written[stream] += text;
  };
  const deps: CliDeps = {
    stdout: openOutput({ write: (text) => keep('out', text), isTTY: false }),
    stderr: openOutput({ write: (text) => keep('err', text), isTTY: false }),
    env: { LANG: 'C.UTF-8' },
    platform: 'linux',
    cwd,
    signal: new AbortController().signal,
    date: () => new Date('2030-01-02T03:04:05Z'),
  };
  let status = 0;
  const program = new Command('matchmark').exitOverride().configureOutput({
    writeOut: deps.stdout.write,
    writeErr: deps.stderr.write,
  });
  register(program, deps, (value) => {
    status = value;
  });
  try {
    await program.parseAsync([...argv], { from: 'user' });
  } catch (error) {
    status = reportError(deps, error);
  }
  return { status, ...written };
}
