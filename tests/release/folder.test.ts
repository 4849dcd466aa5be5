/** What lies in the release: whole, for the systems it says, with the terms of all that is inside. */
import { execFileSync } from 'node:child_process';
import { closeSync, openSync, readdirSync, readFileSync, readSync, statSync } from 'node:fs';
import path from 'node:path';
import { build } from 'esbuild';
import { expect, inject, test } from 'vitest';
import { ROOT, SETTINGS } from '../../bin/bundle.js';
import { NODE, nodeFor } from '../../bin/release/platforms.js';

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
  // Mach-O 64 bit: magic, then the processor (mach/machine.h: CPU_ARCH_ABI64 with CPU_TYPE_X86 7 or CPU_TYPE_ARM 12).
  for (const [folder, processor] of [
    ['macos-x64', 0x01000007],
    ['macos-arm64', 0x0100000c],
  ] as const) {
    const bytes = head(`${folder}/node`, 16);
    expect(bytes.readUInt32LE(0)).toBe(0xfeedfacf);
    expect(bytes.readUInt32LE(4)).toBe(processor);
    // mach-o/loader.h: MH_EXECUTE.
    expect(bytes.readUInt32LE(12)).toBe(2);
  }
});

/** Load commands of a Mach-O file of 64 bit (mach-o/loader.h): kind -> the words behind its kind and size. */
function loadCommands(file: string): Map<number, readonly number[]> {
  const [count, size] = [head(file, 32).readUInt32LE(16), head(file, 32).readUInt32LE(20)];
  const bytes = head(file, 32 + size);
  const found = new Map<number, readonly number[]>();
  for (let at = 32, seen = 0; seen < count; seen += 1) {
    const [kind, length] = [bytes.readUInt32LE(at), bytes.readUInt32LE(at + 4)];
    found.set(
      kind,
      Array.from({ length: length / 4 - 2 }, (_, word) => bytes.readUInt32LE(at + 8 + word * 4)),
    );
    at += length;
  }
  return found;
}

// Neither was ever started: no Mac is here. Apple's processors run signed programs alone, so Node's signature must be there, over all of it.
test.each(['macos-x64', 'macos-arm64'])(
  '%s: Node is as its makers signed it, for macOS 13.5 or newer',
  async (folder) => {
    const file = `${folder}/node`;
    const commands = loadCommands(file);
    // LC_CODE_SIGNATURE: offset and size; it ends the file.
    const [offset = 0, size = 0] = commands.get(0x1d) ?? [];
    expect(size).toBeGreaterThan(0);
    expect(offset + size).toBe(statSync(path.join(release, file)).size);
    // LC_BUILD_VERSION: platform (1 is macOS), least version as xxxx.yy.zz.
    const [platform, least = 0] = commands.get(0x32) ?? [];
    expect(platform).toBe(1);
    expect(least).toBeLessThanOrEqual((13 << 16) | (5 << 8));
    const made = await nodeFor(folder === 'macos-x64' ? NODE.macosX64 : NODE.macosArm64);
    expect(readFileSync(path.join(release, file)).equals(readFileSync(made))).toBe(true);
  },
);

test.each(FOLDERS)('%s: the start script is plain POSIX shell, and the same everywhere', (folder) => {
  const script = path.join(release, folder, 'matchmark');
  expect(readFileSync(script, 'utf8')).toMatch(/^#!\/bin\/sh\n/);
  execFileSync('dash', ['-n', script]);
  expect(readFileSync(script, 'utf8')).toBe(readFileSync(path.join(release, 'linux-x64/matchmark'), 'utf8'));
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
