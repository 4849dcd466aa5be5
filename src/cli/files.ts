/** Writing results: whole or not at all, with an error that says what to do. */
import { mkdir, rename, rm, rmdir, stat, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';

/** Makes the folder before anything is probed, so that a run never ends with nowhere to write. */
export async function prepareFolder(folder: string): Promise<void> {
  const trial = path.join(folder, `.matchmark-${process.pid}`);
  const made: string[] = [];
  try {
    await makeFolder(folder, made);
    await writeFile(trial, '');
    await rm(trial);
  } catch (error) {
    for (const each of made.reverse()) await rmdir(each).catch(() => {});
    throw new MatchmarkError('usage', `cannot write into ${folder}: ${reasonOf(error)}`, {
      cause: error,
      next: 'Name another folder with --out DIR.',
    });
  }
}

/**
 * Level by level: the `recursive` of Node 20 never returns where the system says that a folder cannot be there although its
 * parent is, as /proc does. Adds what it made to `made`, outermost first.
 */
async function makeFolder(folder: string, made: string[]): Promise<void> {
  const absent: string[] = [];
  for (let level = folder; !(await isFolder(level)); level = path.dirname(level)) {
    absent.push(level);
    if (path.dirname(level) === level) break;
  }
  for (const level of absent.reverse()) {
    await mkdir(level);
    made.push(level);
  }
}

/** False where nothing is there; rejects where a file is. */
async function isFolder(place: string): Promise<boolean> {
  try {
    if ((await stat(place)).isDirectory()) return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return false;
    throw error;
  }
  throw Object.assign(new Error(`${place} is a file`), { code: 'EEXIST' });
}

/** Writes beside and renames, so that a file is the old one or the new one and never half. */
export async function writeWhole(file: string, content: string | Uint8Array): Promise<void> {
  const beside = `${file}.part-${process.pid}`;
  try {
    await writeFile(beside, content);
    await rename(beside, file);
  } catch (error) {
    await rm(beside, { force: true }).catch(() => {});
    throw new MatchmarkError('write-failed', `cannot write ${file}: ${reasonOf(error)}`, {
      cause: error,
      next: 'Free some space or name another folder with --out DIR, then run it again.',
    });
  }
}

/** A folder name for one run: `run-20261125-071500`, in local time. */
export function runFolderName(date: Date, prefix = 'run'): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${date.getFullYear()}${two(date.getMonth() + 1)}${two(date.getDate())}`;
  return `${prefix}-${day}-${two(date.getHours())}${two(date.getMinutes())}${two(date.getSeconds())}`;
}

export function reasonOf(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  switch (code) {
    case 'ENOENT':
      return 'it does not exist';
    case 'EACCES':
    case 'EPERM':
      return 'permission denied';
    case 'EISDIR':
      return 'it is a folder';
    case 'ENOTDIR':
    case 'EEXIST':
      return 'a file is in the way';
    case 'ENAMETOOLONG':
      return 'the name is too long';
    case 'ENOSPC':
      return 'the disk is full';
    case 'EROFS':
      return 'it is read-only';
    default:
      return error instanceof Error ? error.message : String(error);
  }
}

/** A path as it is shown: from here where it lies below, else in full. */
export function shownPath(file: string, cwd: string): string {
  const relative = path.relative(cwd, file);
  const below = relative !== '' && !path.isAbsolute(relative) && relative.split(path.sep)[0] !== '..';
  return below ? relative : file;
}
