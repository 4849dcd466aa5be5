/** Commands start what they need (issue 9): what `--help` loads, and that a command's line of the help is the command's own. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { Command } from 'commander';
import { expect, test } from 'vitest';
import { addCommands, COMMANDS, type CommandLine } from '../../src/cli/commands.js';
import type { CliDeps } from '../../src/cli/common.js';
import { openOutput } from '../../src/cli/output.js';
import { run } from './run.js';

const SRC = fileURLToPath(new URL('../../src/', import.meta.url));
const DEPS: CliDeps = {
  stdout: openOutput({ write: () => {}, isTTY: false }),
  stderr: openOutput({ write: () => {}, isTTY: false }),
  env: {},
  platform: 'linux',
  cwd: '/',
  signal: new AbortController().signal,
  date: () => new Date(0),
};

/** Every package and file that comes in by imports alone, without a command being asked for. */
function loadedBy(entry: string): { readonly packages: Set<string>; readonly files: Set<string> } {
  const packages = new Set<string>();
  const files = new Set<string>();
  const visit = (file: string): void => {
    if (files.has(file)) return;
    files.add(file);
    const text = readFileSync(path.join(SRC, file), 'utf8');
    for (const [, specifier = ''] of text.matchAll(
      /^(?:import|export)\s+(?!type\s)(?:[^'";]*?\sfrom\s+)?['"]([^'"]+)['"]/gm,
    )) {
      if (specifier.startsWith('.'))
        visit(path.posix.join(path.posix.dirname(file), specifier).replace(/\.js$/, '.ts'));
      else packages.add(specifier);
    }
  };
  visit(entry);
  return { packages, files };
}

test('the help loads one package, commander, and a handful of files', () => {
  const { packages, files } = loadedBy('cli/main.ts');
  expect([...packages].filter((name) => !name.startsWith('node:'))).toEqual(['commander']);
  expect(files.has('cli/commands.ts')).toBe(true);
  expect(files.size).toBeLessThan(20);
});

test('no command is loaded for the help or the version, one for its own name', async () => {
  const loaded: string[] = [];
  const watched: CommandLine[] = COMMANDS.map((line) => ({
    ...line,
    load: () => {
      loaded.push(line.name);
      return line.load();
    },
  }));
  for (const argv of [[], ['--help'], ['--version'], ['chek']])
    await addCommands(new Command(), argv, DEPS, () => {}, watched);
  expect(loaded).toEqual([]);
  for (const argv of [
    ['seal', '--help'],
    ['help', 'verify'],
  ])
    await addCommands(new Command(), argv, DEPS, () => {}, watched);
  expect(loaded).toEqual(['seal', 'verify']);
});

test('each line of the help says what the command says of itself', async () => {
  const short = await run(['--help']);
  // A word of the command line that names every command loads every command.
  const whole = await run(['--help', ...COMMANDS.map(({ name }) => name)]);
  expect(short).toEqual(whole);
});

test('the completion of a shell knows the options of every command', async () => {
  for (const { name } of COMMANDS)
    expect((await run(['complete', '--', name, '--'])).out).toContain('--help\t');
  expect((await run(['complete', '--', 'report', '--a'])).out).toContain('--as\t');
  expect((await run(['complete', '--', 'check', '--v'])).out).toContain('--vantage\t');
});
