import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { prepareFolder, reasonOf, runFolderName, shownPath, writeWhole } from '../../src/cli/files.js';
import { folderWith, namesIn } from './run.js';

describe('the folder of a run', () => {
  test('is made with what is above it, and left empty', async () => {
    const base = folderWith({});
    await prepareFolder(path.join(base, 'a/b/c'));
    expect(namesIn(base)).toEqual(['a', 'a/b', 'a/b/c']);
    await prepareFolder(path.join(base, 'a/b/c'));
  });

  test.each([
    ['a file stands there', 'file', /a file is in the way/],
    ['a file stands above it', 'file/x/y', /a file is in the way/],
    ['its name is too long', `new/${'n'.repeat(300)}`, /the name is too long/],
  ])('%s: one error, and nothing of it stays', async (_what, below, words) => {
    const base = folderWith({ file: 'kept' });
    await expect(prepareFolder(path.join(base, below))).rejects.toMatchObject({
      code: 'usage',
      message: expect.stringMatching(words),
      next: expect.stringContaining('--out DIR'),
    });
    expect(namesIn(base)).toEqual(['file']);
  });
});

describe('a file is written whole or not at all', () => {
  test('the old one is replaced, and nothing else is left', async () => {
    const base = folderWith({ 'matrix.json': 'old' });
    await writeWhole(path.join(base, 'matrix.json'), 'new');
    expect(readFileSync(path.join(base, 'matrix.json'), 'utf8')).toBe('new');
    expect(namesIn(base)).toEqual(['matrix.json']);
  });

  test('where it cannot be put, what stood there stays and the half goes', async () => {
    const base = folderWith({});
    mkdirSync(path.join(base, 'matrix.json'));
    writeFileSync(path.join(base, 'matrix.json', 'inside'), 'kept');
    await expect(writeWhole(path.join(base, 'matrix.json'), 'new')).rejects.toMatchObject({
      code: 'write-failed',
      next: expect.stringContaining('--out DIR'),
    });
    expect(namesIn(base)).toEqual(['matrix.json', 'matrix.json/inside']);
  });
});

test('a run is named by the local time', () => {
  expect(runFolderName(new Date(2030, 0, 2, 3, 4, 5))).toBe('run-20300102-030405');
  expect(runFolderName(new Date(2030, 10, 12, 13, 14, 15), 'survey')).toBe('survey-20301112-131415');
});

test('a path is shown from here where it lies below, else in full', () => {
  const here = path.resolve('/visits/site');
  expect(shownPath(path.join(here, 'run-1', 'matrix.html'), here)).toBe(path.join('run-1', 'matrix.html'));
  expect(shownPath(path.join(here, '..run', 'matrix.html'), here)).toBe(path.join('..run', 'matrix.html'));
  expect(shownPath(path.resolve('/visits/other/x'), here)).toBe(path.resolve('/visits/other/x'));
});

test.each([
  ['ENOENT', 'it does not exist'],
  ['EACCES', 'permission denied'],
  ['EPERM', 'permission denied'],
  ['ENOSPC', 'the disk is full'],
  ['EROFS', 'it is read-only'],
])('%s in words', (code, words) => {
  expect(reasonOf(Object.assign(new Error('syscall'), { code }))).toBe(words);
});
