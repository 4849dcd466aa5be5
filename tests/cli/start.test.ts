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

test('package.json states Node 20 as the least (issue 2)', () => {
  const { engines } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
    engines: { node: string };
  };
  expect(engines.node).toBe('>=20');
});
