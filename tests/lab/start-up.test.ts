/** Starting costs what the command needs (issues 9 and 12): the help within three times of bare Node, measured side by side. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { oneFile } from '../../bin/release/one-file.js';

const release = mkdtempSync(path.join(tmpdir(), 'matchmark-start-'));
beforeAll(async () => {
  writeFileSync(path.join(release, 'matchmark.mjs'), (await oneFile()).module);
}, 60_000);
afterAll(() => rmSync(release, { recursive: true, force: true }));

const ROUNDS = 15;
const STARTS = {
  bare: ['-e', '0'],
  built: [fileURLToPath(new URL('../../bin/matchmark.js', import.meta.url)), '--help'],
  oneFile: [path.join(release, 'matchmark.mjs'), '--help'],
} as const;

/** Processor time of one start, user and system, in milliseconds: what others do on this laptop counts little. */
function costMs(args: readonly string[]): number {
  const script = 'TIMEFORMAT="%U %S"; time "$0" "$@" >/dev/null 2>/dev/null';
  const { stderr } = spawnSync('bash', ['--norc', '-c', script, process.execPath, ...args], {
    encoding: 'utf8',
    env: { PATH: '/usr/bin:/bin', LC_ALL: 'C' },
  });
  const [user = Number.NaN, system = Number.NaN] = stderr.trim().split(' ').map(Number);
  return (user + system) * 1000;
}

/** All rounds together: the kernel counts by ticks, so that on a busy laptop a single start may be told as a third of what it was. */
const sum = (values: readonly number[]): number => values.reduce((all, one) => all + one, 0);

test('the help, built and as one file', () => {
  const costs = { bare: [] as number[], built: [] as number[], oneFile: [] as number[] };
  for (let round = 0; round < ROUNDS; round += 1) {
    costs.bare.push(costMs(STARTS.bare));
    costs.built.push(costMs(STARTS.built));
    costs.oneFile.push(costMs(STARTS.oneFile));
  }
  const bare = sum(costs.bare);
  expect(bare).toBeGreaterThan(0);
  expect(sum(costs.built) / bare).toBeLessThan(3);
  expect(sum(costs.oneFile) / bare).toBeLessThan(3);
});
