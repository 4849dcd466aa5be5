/** `matchmark.mjs` and a folder with its own Node: alone in an empty folder, on the Nodes that people have. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, existsSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import path from 'node:path';
import { expect, inject, test } from 'vitest';
import { NODE, nodeFor } from '../../bin/release/platforms.js';
import { VERSION } from '../../src/cli/version.js';
import { readMatrix } from '../../src/matrix/read.js';
import { reviewHeadline } from '../../src/review/headline.js';
import type { FromHelper, ToHelper } from '../../src/system/burst-programs.js';
import { emptyFolder, oneLine, run } from './support/run.js';

const release = inject('release');
const PLAN = path.join(release, 'fixtures/plans/one-array/plan.yaml');

/** A copy with nothing beside it. */
function alone(): { readonly folder: string; readonly file: string } {
  const folder = emptyFolder();
  copyFileSync(path.join(release, 'matchmark.mjs'), path.join(folder, 'matchmark.mjs'));
  return { folder, file: 'matchmark.mjs' };
}

const NODES = [
  { version: 'of this laptop', node: async () => process.execPath },
  { version: NODE.linuxX64.version, node: () => nodeFor(NODE.linuxX64) },
  { version: NODE.linuxX64Next.version, node: () => nodeFor(NODE.linuxX64Next) },
];

test.each(NODES)('demo and review on Node $version', async ({ node }) => {
  const { folder, file } = alone();
  const program = await node();
  const demo = run(program, [file, 'demo', '--out', 'first', '--vantage', 'bench'], folder);
  expect(demo.out).toContain('All 7 were found');
  expect(demo.status).toBe(0);
  const matrix = readMatrix(readFileSync(path.join(folder, 'first/matrix.json'), 'utf8'), 'matrix.json');
  expect(matrix).toMatchObject({ run: { version: VERSION }, vantages: [{ name: 'bench' }] });
  expect(readFileSync(path.join(folder, 'first/matrix.html'), 'utf8')).toMatch(/^<!doctype html>/i);
  const review = run(program, [file, 'review', PLAN], folder);
  expect(review.status).toBe(0);
  expect(oneLine(review.out)).toContain(reviewHeadline([]));
});

test('the folder for Linux starts through a link, from anywhere, with the Node that is in it', () => {
  const folder = emptyFolder();
  mkdirSync(path.join(folder, 'on the path'));
  symlinkSync(path.join(release, 'linux-x64/matchmark'), path.join(folder, 'linked'));
  symlinkSync('../linked', path.join(folder, 'on the path/matchmark'));
  const { status, out } = run('on the path/matchmark', ['kit', '--json'], folder);
  expect(status).toBe(0);
  expect(JSON.parse(out)).toMatchObject({ format: 'matchmark.kit/1', version: VERSION });
  expect(run(path.join(release, 'linux-x64/node'), ['--version'], folder).out).toBe(
    `v${NODE.linuxX64.version}\n`,
  );
  expect(existsSync(path.join(release, 'linux-x64/fixtures/plans/one-array/plan.yaml'))).toBe(true);
});

test('the part that starts programs is in the file too', async () => {
  const { folder, file } = alone();
  const helper = spawn(process.execPath, [file, '--as-program-helper'], {
    cwd: folder,
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  const next = async (): Promise<FromHelper> => (await once(helper, 'message'))[0] as FromHelper;
  expect(await next()).toEqual({ ready: true });
  const ask: ToHelper = { id: 7, command: 'echo', args: ['heard'], options: {} };
  helper.send(ask);
  expect(await next()).toMatchObject({ id: 7, result: { stdout: expect.stringContaining('heard') } });
  helper.disconnect();
  expect(await once(helper, 'exit')).toEqual([0, null]);
});
