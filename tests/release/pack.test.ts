/** What `npm pack` makes installs without a network, and runs. */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { VERSION } from '../../src/cli/version.js';
import { emptyFolder, run } from './support/run.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));

test('npm pack, npm install --offline, run', () => {
  const folder = emptyFolder();
  execFileSync('npm', ['pack', '--silent', '--ignore-scripts', '--pack-destination', folder], { cwd: ROOT });
  writeFileSync(path.join(folder, 'package.json'), '{ "private": true }\n');
  const installing = ['install', '--offline', '--no-audit', '--no-fund', `matchmark-${VERSION}.tgz`];
  // A cache of its own: what this laptop has fetched before is not there on a laptop.
  execFileSync('npm', [...installing, '--cache', path.join(folder, 'cache')], { cwd: folder, stdio: 'pipe' });
  const started = path.join(folder, 'node_modules/.bin/matchmark');
  expect(run(process.execPath, [started, '--version'], folder)).toEqual({
    status: 0,
    out: `${VERSION}\n`,
    err: '',
  });
  const review = run(
    process.execPath,
    [started, 'review', 'node_modules/matchmark/fixtures/plans/one-array/plan.yaml'],
    folder,
  );
  expect(review.status).toBe(0);
});
