/** One at a time in a folder (issue 13.5, 13.13). */
import { spawn } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import path from 'node:path';
import { expect, test } from 'vitest';
import { LOCK_NAME, lockFolder } from '../../src/files/lock.js';
import { folderWith, namesIn } from '../cli/run.js';

const holder = (pid: number, host = hostname()) => JSON.stringify({ pid, host, token: '0123456789abcdef' });
/** No process has it (proc(5), pid_max). */
const NOBODY = 2 ** 22 + 1;

test('the second is told who works there; when the first has ended it may', async () => {
  const folder = folderWith({});
  const unlock = await lockFolder(folder, 0);
  await expect(lockFolder(folder, 0)).rejects.toMatchObject({
    code: 'usage',
    message: expect.stringContaining(`process ${process.pid} on ${hostname()}`),
    next: expect.stringContaining(LOCK_NAME),
  });
  await unlock();
  expect(namesIn(folder)).toEqual([]);
  await (await lockFolder(folder, 0))();
});

test('who may wait gets it as soon as the first has ended', async () => {
  const folder = folderWith({});
  const unlock = await lockFolder(folder, 0);
  const second = lockFolder(folder, 10_000);
  await unlock();
  await (await second)();
});

test('a lock whose process is gone is taken over', async () => {
  const folder = folderWith({ [LOCK_NAME]: holder(NOBODY) });
  await (await lockFolder(folder, 0))();
  expect(namesIn(folder)).toEqual([]);
});

test('a process that was killed leaves no lock that holds', async () => {
  const folder = folderWith({});
  const child = spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000)']);
  writeFileSync(path.join(folder, LOCK_NAME), holder(child.pid ?? 0));
  await expect(lockFolder(folder, 0)).rejects.toMatchObject({ code: 'usage' });
  const gone = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGKILL');
  await gone;
  await (await lockFolder(folder, 0))();
});

test.each([
  ['of another laptop', holder(NOBODY, 'other.example')],
  ['that cannot be read', '{"pid": 4'],
])('a lock %s is not taken over: nobody here can tell', async (_, content) => {
  const folder = folderWith({ [LOCK_NAME]: content });
  await expect(lockFolder(folder, 0)).rejects.toMatchObject({ code: 'usage' });
  expect(existsSync(path.join(folder, LOCK_NAME))).toBe(true);
});

test('of many at once one gets it at a time', async () => {
  const folder = folderWith({ [LOCK_NAME]: holder(NOBODY) });
  let inside = 0;
  let most = 0;
  await Promise.all(
    Array.from({ length: 8 }, async () => {
      const unlock = await lockFolder(folder, 20_000);
      inside += 1;
      most = Math.max(most, inside);
      await new Promise((resolve) => setTimeout(resolve, 5));
      inside -= 1;
      await unlock();
    }),
  );
  expect(most).toBe(1);
});
