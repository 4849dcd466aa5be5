/** Ctrl-C ends a command at once while it reads a large result or makes something of it (issue 13.9). Wants `npm run build`. */
import type { ChildProcess } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { jsonChunks } from '../../src/files/json-chunks.js';
import { hallMatrix } from '../support/hall-matrix.js';
import { runProgram, startProgram } from '../support/program.js';

let cwd = '';
/** Octets of the result. */
let size = 0;

/** SIGINT as soon as the process has read the result, and so begins to make something of it (proc_pid_io(5), on Linux alone). */
async function interruptAt(child: ChildProcess, there: (pid: number) => boolean): Promise<void> {
  while (child.exitCode === null && child.signalCode === null) {
    try {
      if (there(child.pid ?? 0)) {
        child.kill('SIGINT');
        return;
      }
    } catch {
      // It ended in between.
    }
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}
const hasRead = (pid: number): boolean =>
  Number(/^rchar: (\d+)/.exec(readFileSync(`/proc/${pid}/io`, 'utf8'))?.[1]) > size;
/** Processor time in hundredths of a second (proc_pid_stat(5), utime). */
const hasWorked =
  (hundredths: number) =>
  (pid: number): boolean =>
    Number(readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ')[11]) > hundredths;

beforeAll(async () => {
  cwd = mkdtempSync(path.join(tmpdir(), 'matchmark-interrupt-'));
  const text = [...jsonChunks(hallMatrix(3072, 5))].join('');
  for (const name of ['run', 'again', 'left']) cpSync(fileWith(text), path.join(cwd, name, 'matrix.json'));
  writeFileSync(
    path.join(cwd, 'list.csv'),
    'device,port,address,group\nvault-1,a,127.0.0.1/8,g\nvault-1,b,127.0.0.2/8,g\n',
  );
  size = Buffer.byteLength(text);
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
  void interruptAt(child, hasRead);
  const { status, signal, err } = await ended;
  // Ended by the system's own way: nothing in the program had to wait for its turn.
  expect([signal, status], err).toEqual(['SIGINT', null]);
  expect(existsSync(path.join(cwd, 'out', 'matrix.json'))).toBe(false);
  expect(readdirSync(path.join(cwd, 'run')).filter((name) => name !== '.matchmark-lock')).toEqual([
    'matrix.json',
  ]);
});

test('a large plan whose pull list is made', async () => {
  const rows = Array.from(
    { length: 12_000 },
    (_, n) => `d${n >> 2},p${n},10.0.${n >> 8}.${n & 255}/8,g${n >> 2},sw${n >> 5},${n & 31}`,
  );
  writeFileSync(
    path.join(cwd, 'huge.csv'),
    ['device,port,address,group,switch,switch port', ...rows].join('\n'),
  );
  const { child, ended } = startProgram(['drill', 'huge.csv', '--list'], { cwd });
  // Start and reading take a tenth of it.
  void interruptAt(child, hasWorked(200));
  const { signal, status, err } = await ended;
  expect([signal, status], err).toEqual(['SIGINT', null]);
});

test('what was ended so holds nobody up: the next command takes the folder', async () => {
  const { child, ended } = startProgram(['check', 'list.csv', '--out', 'left'], { cwd });
  void interruptAt(child, hasRead);
  expect((await ended).signal).toBe('SIGINT');
  const next = await runProgram(['attest', 'left', ...SAW, '--as-planned', '--quiet'], { cwd });
  expect(next.status, next.err).toBeLessThan(2);
  expect(readdirSync(path.join(cwd, 'left')).sort()).toEqual(['matrix.html', 'matrix.json']);
});
