/** `follow` ended by the system itself: what was seen is not lost, and what is left stands in nobody's way (issue 13.13). Wants `npm run build`. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import path from 'node:path';
import { expect, test } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { folderWith } from '../cli/run.js';
import { runProgram, startProgram } from '../support/program.js';

const LIST =
  'device,port,address,services,group\nvault-1,a,127.0.0.1/8,tcp/1,g\nvault-1,b,127.0.0.2/8,tcp/1,g\n';

/** The processes that this one started, by the parent in proc_pid_stat(5). */
function childrenOf(pid: number): number[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .filter((name) => {
      try {
        return Number(readFileSync(`/proc/${name}/stat`, 'utf8').split(') ').at(-1)?.split(' ')[1]) === pid;
      } catch {
        // It ended in between.
        return false;
      }
    })
    .map(Number);
}

const matrixIn = (cwd: string): Matrix | undefined =>
  existsSync(path.join(cwd, 'run/matrix.json'))
    ? (JSON.parse(readFileSync(path.join(cwd, 'run/matrix.json'), 'utf8')) as Matrix)
    : undefined;

const verdictOf = (cwd: string) => matrixIn(cwd)?.endpoints[0]?.verdict;

test('what was seen stands there whole, no program goes on, and the next command takes the folder', async () => {
  const server = createServer((socket) => socket.on('error', () => {}));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const port = (server.address() as AddressInfo).port;
  const cwd = folderWith({ 'list.csv': LIST.replace('tcp/1', `tcp/${port}`) });
  const { child, ended, said } = startProgram(['follow', 'list.csv', '--out', 'run', '--interval', '1'], {
    cwd,
  });
  await said(/From here on what changes/);
  await expect.poll(() => verdictOf(cwd), { timeout: 20_000 }).not.toBe(undefined);
  const before = verdictOf(cwd);
  server.close();
  await expect.poll(() => verdictOf(cwd), { timeout: 30_000 }).not.toBe(before);
  const started = childrenOf(child.pid ?? 0);
  child.kill('SIGKILL');
  expect((await ended).signal).toBe('SIGKILL');
  // A helper sees that we are gone and ends what we had started.
  await expect
    .poll(() => started.filter((pid) => existsSync(`/proc/${pid}`)), { timeout: 20_000 })
    .toEqual([]);
  const left = readdirSync(path.join(cwd, 'run')).filter((name) => !name.endsWith('.part'));
  expect(left.sort()).toEqual(['.matchmark-lock', 'matrix.html', 'matrix.json']);
  const told = await runProgram(['report', 'run'], { cwd });
  expect(told.status, told.err).toBe(1);
  expect(told.out).toContain('127.0.0.1');
  const next = await runProgram(['follow', 'list.csv', '--out', 'run', '--rounds', '1', '--quiet'], { cwd });
  expect(next.status, next.err).toBeLessThan(2);
  expect(readdirSync(path.join(cwd, 'run')).sort()).toEqual(['matrix.html', 'matrix.json']);
});

test('ended in its first look: the journal is there, report says what goes on with it, and check does', async () => {
  const cwd = folderWith({ 'list.csv': LIST });
  const { child, ended, said } = startProgram(['follow', 'list.csv', '--out', 'run'], { cwd });
  await said(/Finding out|Looking|Asking/);
  child.kill('SIGKILL');
  expect((await ended).signal).toBe('SIGKILL');
  const told = await runProgram(['report', 'run'], { cwd });
  expect(told.status).toBe(2);
  expect(told.err).toContain('"matchmark check --resume run" goes on with it');
  const next = await runProgram(['check', '--resume', 'run'], { cwd });
  expect(next.status, next.err).toBe(1);
  expect(readdirSync(path.join(cwd, 'run')).sort()).toEqual(['matrix.html', 'matrix.json']);
});
