/** `matchmark.mjs` and a folder with its own Node: alone in an empty folder, on the Nodes that people have. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, cpSync, existsSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
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
  // A flag that this Node's engine does not know would be told here.
  expect(run(program, [file, '--help'], folder)).toMatchObject({ status: 0, err: '' });
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

/**
 * Node's own permissions (nodejs.org, "Permissions"): what is not named cannot be read, by any part of the program. Without other programs,
 * which permissions would not bind.
 */
test('nothing is read but the file itself, the plan and the result', async () => {
  const { folder, file } = alone();
  const plan = path.join(folder, 'plan');
  cpSync(path.dirname(PLAN), plan, { recursive: true });
  const out = path.join(folder, 'out');
  mkdirSync(out);
  const node = await nodeFor(NODE.linuxX64);
  const bound = (reads: readonly string[], ...args: string[]) => {
    const allowed = [path.join(folder, file), ...reads].map((place) => `--allow-fs-read=${place}`);
    return run(node, ['--permission', ...allowed, `--allow-fs-write=${out}`, file, ...args], folder);
  };
  const demo = bound([out], 'demo', '--out', 'out/first', '--vantage', 'bench');
  expect(demo.out).toContain('All 7 were found');
  expect(demo).toMatchObject({ status: 0, err: expect.not.stringContaining('ERR_ACCESS_DENIED') });
  // The report ends as the run did: the demo has faults.
  for (const [status, ...args] of [
    [0, 'review', 'plan/plan.yaml'],
    [1, 'report', 'out/first', '--as', 'csv'],
    [0, 'explain', 'duplicate-address'],
  ] as const)
    expect({ args, status: bound([out, plan], ...args).status }).toEqual({ args, status });
  // The permissions are really held: without the plan among them it cannot be read.
  expect(bound([out], 'review', 'plan/plan.yaml').status).toBe(2);
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
