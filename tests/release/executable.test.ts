/** The Windows program as a file: what is in it, and that it does not pass for what it was made of. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { NtExecutable, NtExecutableResource, Resource } from 'resedit';
import { expect, inject, test } from 'vitest';
import { NODE, nodeFor } from '../../bin/release/platforms.js';
import { VERSION } from '../../src/cli/version.js';

test('the program is inside; the signature, icon and names of Node are not', () => {
  // Refuses a file with a signature unless told otherwise.
  const program = NtExecutable.from(readFileSync(path.join(inject('release'), 'matchmark.exe')));
  const { entries } = NtExecutableResource.from(program);
  // Microsoft, "Resource Types": 3 is RT_ICON, 10 RT_RCDATA, 14 RT_GROUP_ICON.
  expect(entries.filter(({ type }) => type === 10).map(({ id }) => id)).toEqual(['NODE_SEA_BLOB']);
  expect(entries.filter(({ type }) => type === 3 || type === 14)).toEqual([]);
  const [info] = Resource.VersionInfo.fromEntries(entries);
  const language = info?.getAllLanguagesForStringValues()[0];
  expect(language && info?.getStringValues(language)).toEqual({
    FileDescription: `Matchmark, with Node.js ${NODE.windowsX64.version} inside`,
    ProductName: 'Matchmark',
    FileVersion: expect.stringContaining(VERSION),
    ProductVersion: expect.stringContaining(VERSION),
    OriginalFilename: 'matchmark.exe',
  });
});

test('a package that is not the one this release was made for is not used', async () => {
  const other = { name: 'isexe', version: '2.0.0', integrity: 'sha512-of another' };
  await expect(nodeFor(other)).rejects.toThrow(/isexe-2\.0\.0\.tgz is not the one/);
});
