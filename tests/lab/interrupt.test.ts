/** Ctrl-C ends a command at once while it reads a large result or makes something of it (issue 13.9). Wants `npm run build`. */
import { cpSync, existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { jsonChunks } from '../../src/files/json-chunks.js';
import { hallMatrix } from '../support/hall-matrix.js';
import { runProgram, startProgram } from '../support/program.js';

let cwd = '';
/** How long a report of it takes when nobody disturbs it, in milliseconds. */
let wholeMs = 0;

beforeAll(async () => {
  cwd = mkdtempSync(path.join(tmpdir(), 'matchmark-interrupt-'));
  const text = [...jsonChunks(hallMatrix(3072, 5))].join('');
  for (const name of ['run', 'again', 'left']) cpSync(fileWith(text), path.join(cwd, name, 'matrix.json'));
  writeFileSync(
    path.join(cwd, 'list.csv'),
    'device,port,address,group\nvault-1,a,127.0.0.1/8,g\nvault-1,b,127.0.0.2/8,g\n',
  );
  const startedAt = performance.now();
  expect((await runProgram(['report', 'run', '--as', 'html'], { cwd })).status).toBe(1);
  wholeMs = performance.now() - startedAt;
}, 120_000);
afterAll(() => rmSync(cwd, { recursive: true, force: true }));

function fileWith(text: string): string {
  const file = path.join(cwd, 'whole.json');
  writeFileSync(file, text);
  return file;
}

const SAW = ['--subject', 'vault-1', '--item', 'roof', '--saw', 'green', '--by', 'R. Hale', '--extra'];

// Every command that reads a result, of its own or one that it would write over.
test.each([
  ['report', 'run', '--as', 'html', '--out', 'out'],
  ['compare', 'run', 'again', '--out', 'out'],
  ['combine', 'run', 'again', '--out', 'out'],
  ['attest', 'run', ...SAW, '--as-planned', '--out', 'out'],
  ['check', '--resume', 'run', 'list.csv'],
  ['check', 'list.csv', '--out', 'run'],
  ['drill', 'list.csv', '--list', '--resume', 'run'],
  ['drill', 'list.csv', '--resume', 'run'],
])('%s %s %s', async (...argv) => {
  const { child, ended } = startProgram(argv, { cwd });
  // Half of a report: the reading is under way, whatever comes after it.
  const timer = setTimeout(() => child.kill('SIGINT'), wholeMs / 2);
  const { status, signal, err } = await ended;
  clearTimeout(timer);
  // Ended by the system's own way: nothing in the program had to wait for its turn.
  expect([signal, status], err).toEqual(['SIGINT', null]);
  expect(existsSync(path.join(cwd, 'out', 'matrix.json'))).toBe(false);
  expect(readdirSync(path.join(cwd, 'run')).filter((name) => name !== '.matchmark-lock')).toEqual([
    'matrix.json',
  ]);
});

test('what was ended so holds nobody up: the next command takes the folder', async () => {
  const { child, ended } = startProgram(['check', 'list.csv', '--out', 'left'], { cwd });
  const timer = setTimeout(() => child.kill('SIGINT'), wholeMs / 2);
  expect((await ended).signal).toBe('SIGINT');
  clearTimeout(timer);
  const next = await runProgram(['attest', 'left', ...SAW, '--as-planned', '--quiet'], { cwd });
  expect(next.status, next.err).toBeLessThan(2);
  expect(readdirSync(path.join(cwd, 'left')).sort()).toEqual(['matrix.html', 'matrix.json']);
});
