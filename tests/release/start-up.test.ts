/** Starting costs what the command needs (issues 9 and 12): the help within three times of bare Node, measured side by side. */
import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, inject, test } from 'vitest';

const ROUNDS = 9;
const STARTS = {
  bare: ['-e', '0'],
  built: [fileURLToPath(new URL('../../bin/matchmark.js', import.meta.url)), '--help'],
  oneFile: [path.join(inject('release'), 'matchmark.mjs'), '--help'],
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

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
}

test('the help, built and as one file', () => {
  const costs = { bare: [] as number[], built: [] as number[], oneFile: [] as number[] };
  for (let round = 0; round < ROUNDS; round += 1) {
    costs.bare.push(costMs(STARTS.bare));
    costs.built.push(costMs(STARTS.built));
    costs.oneFile.push(costMs(STARTS.oneFile));
  }
  const bare = median(costs.bare);
  expect(bare).toBeGreaterThan(0);
  expect(median(costs.built) / bare).toBeLessThan(3);
  expect(median(costs.oneFile) / bare).toBeLessThan(3);
});
