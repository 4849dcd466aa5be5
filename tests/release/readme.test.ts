/** Somebody who has the README and an empty folder, word by word. The Windows part is in wine.test.ts. */
import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import net, { type AddressInfo } from 'node:net';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { blocksOf } from './support/readme.js';
import { emptyFolder, run } from './support/run.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const [carried = [], demo = [], tests = []] = blocksOf('sh');

/** The user's own device; the README cannot know it. */
const device = net.createServer((socket) => socket.on('error', () => {}).end());
beforeAll(() => new Promise<void>((resolve) => device.listen(0, '127.0.0.1', resolve)));
afterAll(() => device.close());

test('the folder for this system, with an address list put into it', () => {
  const folder = emptyFolder();
  cpSync(path.join(inject('release'), 'linux-x64'), folder, { recursive: true });
  const { port } = device.address() as AddressInfo;
  writeFileSync(
    path.join(folder, 'address-list.csv'),
    `device,port,address,services\nvault-1,mgmt,127.0.0.1/8,tcp/${port}\n`,
  );
  expect(carried).toHaveLength(2);
  for (const line of carried) {
    const [program = '', ...args] = line.split(' ');
    expect({ line, status: run(program, args, folder).status }).toEqual({ line, status: 0 });
  }
  expect(existsSync(path.join(folder, 'run-1/matrix.html'))).toBe(true);
});

test('from a clone: the first command builds it and shows the demo', () => {
  const folder = emptyFolder();
  execFileSync('git', ['clone', '--quiet', ROOT, 'clone'], { cwd: folder, stdio: 'pipe' });
  const clone = path.join(folder, 'clone');
  expect(demo).toHaveLength(1);
  const said = execFileSync('bash', ['--norc', '-c', demo[0] ?? ''], {
    cwd: clone,
    encoding: 'utf8',
    stdio: 'pipe',
    // What this laptop has fetched before is not asked for again.
    env: { ...process.env, npm_config_prefer_offline: 'true', npm_config_audit: 'false' },
  });
  expect(said).toContain('All 7 were found');
  expect(said).toContain(path.join(clone, 'demo-run/matrix.html'));
  expect(existsSync(path.join(clone, 'demo-run/matrix.html'))).toBe(true);
});

test('the second command is what CI runs', () => {
  expect(tests).toEqual(['sh .ci/setup && npm ci && npm test']);
  const ci = readFileSync(path.join(ROOT, '.ci/run'), 'utf8');
  for (const step of ['sh .ci/setup', 'npm ci', 'npm test']) expect(ci).toContain(step);
});
