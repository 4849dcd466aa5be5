/** bin/matchmark.js where the program cannot start: one message with what to do, and 2. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { folderWith } from './run.js';

const BIN = readFileSync(new URL('../../bin/matchmark.js', import.meta.url));

function start(node: string) {
  const folder = folderWith({
    'bin/matchmark.js': BIN,
    'package.json': JSON.stringify({ type: 'module', engines: { node } }),
  });
  const { status, stdout, stderr } = spawnSync(process.execPath, [path.join(folder, 'bin/matchmark.js')], {
    encoding: 'utf8',
  });
  return { status, stdout, stderr };
}

test('a Node older than package.json allows', () => {
  const { status, stdout, stderr } = start('>=999');
  expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
  expect(stderr).toMatch(/^matchmark: Node \d+\.\d+\.\d+ is too old, it needs 999 or newer\.\n {2}Unpack/);
});

test('not built', () => {
  const { status, stdout, stderr } = start('>=20');
  expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
  expect(stderr).toMatch(/^matchmark: not built yet\. Run "npm ci && npm run build"/);
});

test.each([
  ['20.9.0', '20.12', 2],
  ['20.12.0', '20.12', 0],
  ['22.1.0', '20.12', 0],
])('Node %s where %s is the least', (version, least, status) => {
  const folder = folderWith({
    'bin/matchmark.js': BIN,
    'dist/main.js': 'export const main = async () => 0; export const forAShortRun = () => {};',
    'package.json': JSON.stringify({ type: 'module', engines: { node: `>=${least}` } }),
  });
  // The version that the process says it has.
  const pretend = `data:text/javascript,Object.defineProperty(process.versions,'node',{value:'${version}'})`;
  const ended = spawnSync(process.execPath, ['--import', pretend, path.join(folder, 'bin/matchmark.js')]);
  expect(ended.status).toBe(status);
});

test('package.json states Node 20.12 as the least: the first with util.styleText', () => {
  const { engines } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
    engines: { node: string };
  };
  expect(engines.node).toBe('>=20.12');
});
