/** Results that somebody else handed over: each ends with 2 and one message, never with an error of the program. */
import { execFileSync } from 'node:child_process';
import { readFileSync, symlinkSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { folderWith, type Ran, run } from './run.js';

const GOOD = readFileSync(
  fileURLToPath(new URL('../../fixtures/results/harbour-library.json', import.meta.url)),
  'utf8',
);

type Json = Record<string, unknown>;

function changed(change: (matrix: Json) => void): string {
  const matrix = JSON.parse(GOOD) as Json;
  change(matrix);
  return JSON.stringify(matrix);
}

function at(value: unknown, ...keys: readonly (string | number)[]): Json {
  return keys.reduce<unknown>((inner, key) => (inner as Json)[key as string], value) as Json;
}

function expectRefused({ status, err }: Ran, what = /damaged|no matrix/): void {
  expect(err).toMatch(/^matchmark: [^\n]+\n( {2}[^\n]+\n)+$/);
  expect(err).toMatch(what);
  expect(err).not.toMatch(/inside the program/);
  expect(err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
  expect(status).toBe(2);
}

/** What a report as a page refuses: wrong kinds in places that no schema of ours names, or that it does. */
const DAMAGE: Readonly<Record<string, (matrix: Json) => void>> = {
  'a format that would set the title of the terminal': (matrix) => {
    matrix.format = '\u001b]0;owned\u0007';
  },
  'a key that would clear the terminal': (matrix) => {
    at(matrix, 'plan', 'model', 'devices', 0).controllers = { '\u001b[2J': 5 };
  },
  'an identity that is a number': (matrix) => {
    at(matrix, 'plan', 'model', 'devices', 0).identity = { sysName: 5 };
  },
  'no rack units': (matrix) => {
    at(matrix, 'plan', 'model', 'devices', 0).units = null;
  },
  'no abilities': (matrix) => {
    at(matrix, 'evidence', 0, 'vantage').abilities = {};
  },
  'a title that is a list': (matrix) => {
    at(matrix, 'endpoints', 0, 'sightings', 0).identity = { http: { port: 80, status: 200, title: [] } };
  },
  'a survey that is none': (matrix) => {
    matrix.survey = { entries: 5 };
  },
};

describe('report of a hostile result', () => {
  test.each(Object.entries(DAMAGE))('%s', async (_, change) => {
    const cwd = folderWith({ 'matrix.json': changed(change) });
    expectRefused(await run(['report', 'matrix.json', '--as', 'html'], { cwd }));
  });
});

test('a result nested deeper than any stack is refused where it would be written again', async () => {
  const deep = `${'['.repeat(200_000)}${']'.repeat(200_000)}`;
  const content = changed((matrix) => {
    at(matrix, 'plan', 'model').deep = 'DEEP';
  }).replace('"DEEP"', deep);
  const cwd = folderWith({ 'matrix.json': content });
  const subject = String(at(JSON.parse(GOOD), 'plan', 'model', 'devices', 0).name);
  const what = ['--subject', subject, '--item', 'lamp', '--saw', 'green', '--by', 'R. Hale', '--extra'];
  expectRefused(await run(['attest', 'matrix.json', ...what], { cwd }));
});

describe('what is no ordinary file holds nobody up', () => {
  const commands = [
    ['report', 'run'],
    ['compare', 'run', 'run'],
    ['verify', 'run'],
    ['verify', '.', '--key', 'run/matrix.json'],
  ];

  test.skipIf(process.platform === 'win32').each(commands)('a pipe: %s %s', async (...argv) => {
    const cwd = folderWith({ 'run/list.txt': '' });
    for (const name of ['matrix.json', 'seal.json']) execFileSync('mkfifo', [path.join(cwd, 'run', name)]);
    expectRefused(await run(argv, { cwd }), /it is no ordinary file/);
  });

  test.skipIf(process.platform !== 'linux').each(commands)('a device without end: %s %s', async (...argv) => {
    const cwd = folderWith({ 'run/list.txt': '' });
    for (const name of ['matrix.json', 'seal.json']) symlinkSync('/dev/zero', path.join(cwd, 'run', name));
    expectRefused(await run(argv, { cwd }), /it is no ordinary file/);
  });

  // Read before a run begins, whoever laid them there. The number is no process (proc(5), pid_max).
  test.skipIf(process.platform === 'win32').each([
    ['.matchmark-said-4194305-0123456789abcdef', /^(?!.*another matchmark)/s],
    ['.matchmark-lock', /another matchmark works in/],
  ])('a pipe: %s', async (name, what) => {
    const cwd = folderWith({ 'run/list.txt': '', 'list.csv': 'device,port,address\na,b,127.0.0.1/8\n' });
    execFileSync('mkfifo', [path.join(cwd, 'run', name)]);
    const { err } = await run(['check', 'list.csv', '--out', 'run'], { cwd });
    expect(err).toMatch(what);
    expect(err).not.toMatch(/inside the program/);
  });
});
