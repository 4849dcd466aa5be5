/** Ctrl-C ends a command at once while it reads a large result or makes something of it (issue 13.9). Wants `npm run build`. */
import type { ChildProcess } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
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

function hugeList(): string {
  const rows = Array.from(
    { length: 12_000 },
    (_, n) => `d${n >> 2},p${n},10.0.${n >> 8}.${n & 255}/8,g${n >> 2},sw${n >> 5},${n & 31}`,
  );
  return ['device,port,address,group,switch,switch port', ...rows].join('\n');
}

function hugeEquipment(): string {
  const ports = Array.from(
    { length: 8 },
    (_, n) => `{ name: data${n}, role: data, network: site, services: https, speed: 10G }`,
  );
  const items = Array.from(
    { length: 1_500 },
    (_, n) => `  - { name: vault${n}, controllers: [A, B], ports: [${ports.join(', ')}] }`,
  );
  return `equipment: 1\nsite: { name: Harbour Library }\nnetworks:\n  - { name: site, cidr: 10.0.0.0/8 }\nitems:\n${items.join('\n')}\n`;
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
  writeFileSync(path.join(cwd, 'huge.csv'), hugeList());
  const { child, ended } = startProgram(['drill', 'huge.csv', '--list'], { cwd });
  // Start and reading take a tenth of it.
  void interruptAt(child, hasWorked(200));
  const { signal, status, err } = await ended;
  expect([signal, status], err).toEqual(['SIGINT', null]);
});

/** Lists that take some seconds of processor time. */
const LARGE: readonly (readonly [string, readonly string[], () => void])[] = [
  [
    'a large plan that is reviewed',
    ['review', 'huge.csv', '--out', 'out'],
    () => writeFileSync(path.join(cwd, 'huge.csv'), hugeList()),
  ],
  [
    'a large list that a plan is drafted from',
    ['draft', 'equipment.yaml', '--out', 'out'],
    () => writeFileSync(path.join(cwd, 'equipment.yaml'), hugeEquipment()),
  ],
];

test.each(LARGE)('%s', async (_what, argv, make) => {
  make();
  const { child, ended } = startProgram(argv, { cwd });
  // The start of the program takes a third of it.
  void interruptAt(child, hasWorked(60));
  const { status, signal, err } = await ended;
  expect([signal, status], err).toEqual(['SIGINT', null]);
  expect(existsSync(path.join(cwd, 'out'))).toBe(false);
});

test('a folder with a file of 40 GB that is held against its seal', async () => {
  mkdirSync(path.join(cwd, 'sealed'));
  writeFileSync(path.join(cwd, 'sealed', 'large'), '');
  truncateSync(path.join(cwd, 'sealed', 'large'), 40 * 1024 ** 3);
  writeFileSync(path.join(cwd, 'sealed', 'SHA256SUMS'), `${'0'.repeat(64)}  large\n`);
  const { child, ended } = startProgram(['verify', 'sealed', '--out', 'out'], { cwd });
  void interruptAt(child, hasWorked(60));
  // Nothing is said of a file that was not read to its end.
  const { status, err, out } = await ended;
  expect({ status, out, err }).toEqual({
    status: 130,
    out: '',
    err: 'Interrupted: not every file was looked at.\n',
  });
  expect(existsSync(path.join(cwd, 'out'))).toBe(false);
});

test('what was ended so holds nobody up: the next command takes the folder', async () => {
  const { child, ended } = startProgram(['check', 'list.csv', '--out', 'left'], { cwd });
  void interruptAt(child, hasRead);
  expect((await ended).signal).toBe('SIGINT');
  const next = await runProgram(['attest', 'left', ...SAW, '--as-planned', '--quiet'], { cwd });
  expect(next.status, next.err).toBeLessThan(2);
  expect(readdirSync(path.join(cwd, 'left')).sort()).toEqual(['matrix.html', 'matrix.json']);
});
