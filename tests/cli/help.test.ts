import { describe, expect, test } from 'vitest';
import { errorText, fitHelp } from '../../src/cli/help-text.js';
import { VERSION } from '../../src/cli/version.js';
import { run } from './run.js';

const COMMANDS = [
  'draft',
  'review',
  'kit',
  'survey',
  'follow',
  'check',
  'drill',
  'attest',
  'combine',
  'compare',
  'report',
  'seal',
  'verify',
  'explain',
  'demo',
  'completion',
];

describe('help', () => {
  test('without arguments: examples and commands on standard output, and 2, as nothing was done', async () => {
    const { status, out, err } = await run([]);
    expect({ status, err }).toEqual({ status: 2, err: '' });
    expect(out).toMatch(/^Examples:\n {2}matchmark demo/);
    for (const command of COMMANDS) expect(out).toContain(`\n  ${command} `);
  });

  test.each(COMMANDS)('%s --help: examples first, then options; help %s says the same', async (command) => {
    const { status, out, err } = await run([command, '--help']);
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out.startsWith('Examples:\n  matchmark ')).toBe(true);
    expect(out.slice(0, out.indexOf('Usage:'))).toContain(`\n  matchmark ${command}`);
    expect(out.indexOf('Usage:')).toBeLessThan(out.indexOf('Options:'));
    for (const option of ['--json', '--out <dir>', '--quiet']) expect(out).toContain(option);
    // All take it; those that do not look have no use for it.
    const looks = ['check', 'survey', 'follow', 'drill', 'demo', 'kit'].includes(command);
    expect(out.includes('--vantage <name>')).toBe(looks);
    expect(await run(['help', command])).toEqual({ status, out, err });
  });

  test.each([40, 60, 80])('at %i columns only what has to be copied whole is wider', async (columns) => {
    for (const argv of [[], ...COMMANDS.map((command) => [command, '--help'])]) {
      const { out } = await run(argv, { columns });
      const wide = out.split('\n').filter((line) => line.length > columns);
      expect(wide.filter((line) => !/^ {2}(matchmark|sudo|printf) /.test(line))).toEqual([]);
    }
  });

  test('the version alone', async () => {
    expect(await run(['--version'])).toEqual({ status: 0, out: `${VERSION}\n`, err: '' });
  });
});

test('what an example means goes below it where both do not fit', () => {
  const line = '  matchmark check plan.yaml --out handover  writes into handover';
  expect(fitHelp(line, 80)).toBe(line);
  expect(fitHelp(line, 45)).toBe('  matchmark check plan.yaml --out handover\n      writes into handover');
});

test('suggestions of the command library look as ours', () => {
  expect(errorText("error: unknown option '--js'\n(Did you mean --json?)\n")).toBe(
    "matchmark: unknown option '--js'\n  Did you mean --json?\n",
  );
  expect(
    errorText(
      "error: command-argument value 'tcsh' is invalid for argument 'shell'. Allowed choices are bash, zsh.\n",
    ),
  ).toBe("matchmark: shell cannot be 'tcsh'\n  It can be: bash, zsh.\n");
  expect(errorText("error: too many arguments for 'kit'. Expected 0 arguments but got 1.\n")).toBe(
    'matchmark: too many arguments: kit takes none, and got 1\n',
  );
  expect(errorText('error: x\n(Did you mean one of check, chart?)\n')).toBe(
    'matchmark: x\n  Did you mean check, chart?\n',
  );
});
