/** What bundling changes: the packed registry says what the package says. */
import { mkdtempSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { expect, onTestFinished, test } from 'vitest';
import { SETTINGS } from '../../bin/bundle.js';
import { loadRegistry, type Registry } from '../../src/plan/registry.js';

test('the registry of MAC prefixes is whole', async () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-registry-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const outfile = path.join(folder, 'registry.mjs');
  await build({ ...SETTINGS, entryPoints: ['src/plan/registry.ts'], format: 'esm', outfile });
  const bundled = (await import(pathToFileURL(outfile).href)) as { loadRegistry: () => Registry };
  const packed = bundled.loadRegistry();
  const entries = Object.keys(createRequire(import.meta.url)('oui-data') as object).length;
  expect(packed.size).toBe(entries);
  expect(entries).toBeGreaterThan(30_000);
  expect(packed).toEqual(loadRegistry());
});
