/** One Windows executable: Node's own binary with the program inside (Node's documentation: "Single executable applications"). */
import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { NtExecutable, NtExecutableResource, Resource } from 'resedit';
import { PACKAGE } from '../bundle.js';
import { NODE, nodeFor } from './platforms.js';

/** Both are Node's: the resource in which it looks for a program, and the text whose last digit says that there is one. */
const RESOURCE = 'NODE_SEA_BLOB';
const FUSE = 'NODE_SEA_FUSE_fce680ab2cc467b6e072b8b5df1996b2';

/** Kinds of resources (Microsoft, "Resource Types"): RT_ICON, RT_RCDATA, RT_GROUP_ICON. */
const KIND = { icon: 3, data: 10, iconGroup: 14 };

/**
 * @param {string} text the program as one CommonJS file
 * @param {string} to where the executable is written
 */
export async function writeWindowsExecutable(text, to) {
  const blob = await blobOf(text);
  // The signature of Node's makers goes: it does not cover what is put in, and Windows holds a broken one against a program.
  const program = NtExecutable.from(await readFile(await nodeFor(NODE.windowsX64)), { ignoreCert: true });
  const resources = NtExecutableResource.from(program);
  // Neither the icon nor the names may say that this is Node.
  resources.entries = resources.entries.filter(({ type }) => type !== KIND.icon && type !== KIND.iconGroup);
  resources.entries.push({
    type: KIND.data,
    id: RESOURCE,
    lang: 0,
    codepage: 0,
    bin: new Uint8Array(blob).buffer,
  });
  for (const info of Resource.VersionInfo.fromEntries(resources.entries)) describe(info, resources.entries);
  resources.outputResource(program);
  await writeFile(to, fused(Buffer.from(program.generate())));
}

/**
 * The program as Node wants it inside an executable. The layout belongs to a version of Node: made by the same one on this system.
 * @param {string} text
 * @returns {Promise<Buffer>}
 */
async function blobOf(text) {
  const work = await mkdtemp(path.join(tmpdir(), 'matchmark-executable-'));
  try {
    await writeFile(path.join(work, 'matchmark.cjs'), text);
    const config = {
      main: 'matchmark.cjs',
      output: 'blob',
      disableExperimentalSEAWarning: true,
      // Both would be made for this system, not for the one that runs it.
      useCodeCache: false,
      useSnapshot: false,
    };
    await writeFile(path.join(work, 'config.json'), JSON.stringify(config));
    const maker = await nodeFor(NODE.linuxX64);
    await promisify(execFile)(maker, ['--experimental-sea-config', 'config.json'], { cwd: work });
    return await readFile(path.join(work, 'blob'));
  } finally {
    await rm(work, { recursive: true, force: true });
  }
}

/**
 * @param {import('resedit').Resource.VersionInfo} info
 * @param {import('resedit').NtExecutableResource['entries']} entries
 */
function describe(info, entries) {
  info.setFileVersion(PACKAGE.version);
  info.setProductVersion(PACKAGE.version);
  for (const language of info.getAllLanguagesForStringValues()) {
    info.removeAllStringValues(language);
    info.setStringValues(language, {
      FileDescription: `Matchmark, with Node.js ${NODE.windowsX64.version} inside`,
      ProductName: 'Matchmark',
      FileVersion: PACKAGE.version,
      ProductVersion: PACKAGE.version,
      OriginalFilename: 'matchmark.exe',
    });
  }
  info.outputToResourceEntries(entries);
}

/**
 * @param {Buffer} program
 * @returns {Buffer} the same, told that there is a program inside
 */
function fused(program) {
  const at = program.indexOf(`${FUSE}:0`);
  if (at < 0 || program.includes(`${FUSE}:0`, at + 1))
    throw new Error('this Node has no place for a program, or several');
  program.write('1', at + FUSE.length + 1);
  return program;
}
