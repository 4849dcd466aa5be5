/** `follow` ended by the system itself: what is left stands in nobody's way. Wants `npm run build`. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
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

test('nothing half is written, no program goes on, and the next command takes the folder', async () => {
  const cwd = folderWith({ 'list.csv': LIST });
  const { child, ended, said } = startProgram(['follow', 'list.csv', '--out', 'run', '--interval', '2'], {
    cwd,
  });
  await said(/From here on what changes/);
  const started = childrenOf(child.pid ?? 0);
  child.kill('SIGKILL');
  expect((await ended).signal).toBe('SIGKILL');
  // A helper sees that we are gone and ends what we had started.
  await expect
    .poll(() => started.filter((pid) => existsSync(`/proc/${pid}`)), { timeout: 20_000 })
    .toEqual([]);
  expect(readdirSync(path.join(cwd, 'run'))).toEqual(['.matchmark-lock']);
  const next = await runProgram(['follow', 'list.csv', '--out', 'run', '--rounds', '1', '--quiet'], { cwd });
  expect(next.status, next.err).toBeLessThan(2);
  expect(readdirSync(path.join(cwd, 'run')).sort()).toEqual(['matrix.html', 'matrix.json']);
});
