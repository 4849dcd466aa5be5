/** What lies in the release: whole, for the systems it says, with the terms of all that is inside. */
import { execFileSync } from 'node:child_process';
import { closeSync, openSync, readdirSync, readFileSync, readSync, statSync } from 'node:fs';
import path from 'node:path';
import { build } from 'esbuild';
import { expect, inject, test } from 'vitest';
import { ROOT, SETTINGS } from '../../bin/bundle.js';

const release = inject('release');

/** The names that DESIGN 12 fixes. */
const FOLDERS = ['linux-x64', 'linux-arm64', 'macos-x64', 'macos-arm64'];

function head(file: string, bytes: number): Buffer {
  const buffer = Buffer.alloc(bytes);
  const opened = openSync(path.join(release, file), 'r');
  readSync(opened, buffer, 0, bytes, 0);
  closeSync(opened);
  return buffer;
}

test('SHA256SUMS has every file, as sha256sum itself finds', () => {
  const said = execFileSync('sha256sum', ['-c', 'SHA256SUMS'], { cwd: release, encoding: 'utf8' });
  const checked = said
    .trim()
    .split('\n')
    .map((line) => line.replace(/: OK$/, ''));
  const there = readdirSync(release, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(release, path.join(entry.parentPath, entry.name)));
  expect(checked.sort()).toEqual(there.filter((name) => name !== 'SHA256SUMS').sort());
  expect(checked).toContain('matchmark.exe');
});

test.each(FOLDERS)('%s has a start script, Node, the one file, examples and the licences', (folder) => {
  expect(readdirSync(path.join(release, folder)).sort()).toEqual(
    ['LICENSES.txt', 'README.md', 'fixtures', 'matchmark', 'matchmark.mjs', 'node'].sort(),
  );
  for (const started of ['matchmark', 'node'])
    expect(statSync(path.join(release, folder, started)).mode & 0o111).toBe(0o111);
  const inside = readFileSync(path.join(release, folder, 'matchmark.mjs'));
  expect(inside.equals(readFileSync(path.join(release, 'matchmark.mjs')))).toBe(true);
});

test('each Node is a program for its system and processor', () => {
  // ELF: magic, then e_machine at 18 (System V ABI: 62 is x86-64, 183 AArch64).
  for (const [folder, machine] of [
    ['linux-x64', 62],
    ['linux-arm64', 183],
  ] as const) {
    const bytes = head(`${folder}/node`, 20);
    expect(bytes.toString('latin1', 0, 4)).toBe('\x7fELF');
    expect(bytes.readUInt16LE(18)).toBe(machine);
  }
  // Mach-O 64 bit: magic, then the processor (mach/machine.h: 0x01000007 is x86-64, 0x0100000c arm64; from memory).
  for (const [folder, processor] of [
    ['macos-x64', 0x01000007],
    ['macos-arm64', 0x0100000c],
  ] as const) {
    const bytes = head(`${folder}/node`, 8);
    expect(bytes.readUInt32LE(0)).toBe(0xfeedfacf);
    expect(bytes.readUInt32LE(4)).toBe(processor);
  }
});

test('the licence list names every package that is inside, and Node', async () => {
  const text = readFileSync(path.join(release, 'LICENSES.txt'), 'utf8');
  // What the bundler reads, without what packs it: the packages that the release itself counts are not asked.
  const { metafile } = await build({
    ...SETTINGS,
    plugins: [],
    entryPoints: ['src/release/whole.ts'],
    format: 'esm',
    outdir: 'unwritten',
    write: false,
  });
  const inside = Object.keys(metafile?.inputs ?? {}).flatMap(
    (file) => /^node_modules\/(?:@[^/]+\/)?[^/]+/.exec(file) ?? [],
  );
  const packages = new Set([...inside, 'node_modules/oui-data']);
  expect(packages.size).toBeGreaterThan(10);
  for (const folder of packages) {
    const { name, version } = JSON.parse(readFileSync(path.join(ROOT, folder, 'package.json'), 'utf8')) as {
      name: string;
      version: string;
    };
    expect(text).toContain(`\n${name} ${version}: `);
  }
  expect(text).toContain('\nNode.js 22.');
});
