/**
 * `npm run release [PART...]`: writes release/, or only the named parts of it (`matchmark.exe`, `linux-x64` …), into RELEASE_DIR where
 * that is set. What people carry to a laptop without internet, without Node and without rights.
 */
import { createHash } from 'node:crypto';
import { chmod, copyFile, cp, mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { PACKAGE, ROOT } from '../bundle.js';
import { writeWindowsExecutable } from './executable.js';
import { licencesText } from './licences.js';
import { oneFile } from './one-file.js';
import { NODE, nodeFor } from './platforms.js';

/** A folder each, with its own Node. */
const FOLDERS = {
  'linux-x64': NODE.linuxX64,
  'linux-arm64': NODE.linuxArm64,
  'macos-x64': NODE.macosX64,
  'macos-arm64': NODE.macosArm64,
};
const EXECUTABLE = 'matchmark.exe';
const SUMS = 'SHA256SUMS';

/** Follows links, so that a link to it from a folder on the path starts it too. */
const START = `#!/bin/sh
# Starts Matchmark with the Node beside it. Nothing is installed.
self=$0
while [ -L "$self" ]; do
  to=$(readlink "$self")
  case $to in
    /*) self=$to ;;
    *) self=$(dirname "$self")/$to ;;
  esac
done
folder=$(CDPATH='' cd -- "$(dirname -- "$self")" && pwd -P)
exec "$folder/node" "$folder/matchmark.mjs" "$@"
`;

/** What a user may want to look at; the rest of the folder is for the tests. */
const EXAMPLES = ['equipment.yaml', 'equipment.schema.json', 'plan.schema.json', 'plans', 'results'];

const release = path.resolve(process.env.RELEASE_DIR ?? path.join(ROOT, 'release'));
const asked = process.argv.slice(2);
const parts = [EXECUTABLE, ...Object.keys(FOLDERS)];
const unknown = asked.find((part) => !parts.includes(part));
if (unknown !== undefined) throw new Error(`no part "${unknown}": ${parts.join(', ')}`);
/** @param {string} part */
const wanted = (part) => asked.length === 0 || asked.includes(part);

const nodes = { [EXECUTABLE]: NODE.windowsX64, ...FOLDERS };
const needed = Object.entries(nodes).flatMap(([part, node]) => (wanted(part) ? [node] : []));
// All at once: where they are not there yet, most of the time is waiting. The one for this system makes the executable and has the licence.
const [program] = await Promise.all([oneFile(), ...[...new Set([NODE.linuxX64, ...needed])].map(nodeFor)]);
const licences = await licencesText(program.packages);
await rm(release, { recursive: true, force: true });
await writeCommon(release);
if (wanted(EXECUTABLE)) await writeWindowsExecutable(program.executable, path.join(release, EXECUTABLE));
for (const [name, node] of Object.entries(FOLDERS))
  if (wanted(name)) await writeFolder(path.join(release, name), node);
await writeSums();
process.stdout.write(`Matchmark ${PACKAGE.version} with Node ${NODE.linuxX64.version}: ${release}\n`);

/** @param {string} folder */
async function writeCommon(folder) {
  await mkdir(folder, { recursive: true });
  await writeFile(path.join(folder, 'matchmark.mjs'), program.module, { mode: 0o755 });
  await writeFile(path.join(folder, 'LICENSES.txt'), licences);
  await copyFile(path.join(ROOT, 'README.md'), path.join(folder, 'README.md'));
  for (const name of EXAMPLES)
    await cp(path.join(ROOT, 'fixtures', name), path.join(folder, 'fixtures', name), { recursive: true });
}

/**
 * @param {string} folder
 * @param {import('./platforms.js').NodePackage} node
 */
async function writeFolder(folder, node) {
  await writeCommon(folder);
  await copyFile(await nodeFor(node), path.join(folder, 'node'));
  await chmod(path.join(folder, 'node'), 0o755);
  await writeFile(path.join(folder, 'matchmark'), START, { mode: 0o755 });
}

/** As `sha256sum -c SHA256SUMS` reads it. */
async function writeSums() {
  const entries = await readdir(release, { recursive: true, withFileTypes: true });
  const files = entries
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(release, path.join(entry.parentPath, entry.name)).split(path.sep).join('/'))
    .sort();
  let text = '';
  for (const file of files) {
    const digest = createHash('sha256').update(await readFile(path.join(release, file)));
    text += `${digest.digest('hex')}  ${file}\n`;
  }
  await writeFile(path.join(release, SUMS), text);
}
