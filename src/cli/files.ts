/** Folders that commands write into, and how paths are shown. */
import { randomBytes } from 'node:crypto';
import { mkdir, rm, rmdir, stat, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { notOnWindows } from '../files/folder-name.js';
import { partName } from '../files/leftovers.js';
import { whyNotWritten } from '../files/reason.js';

export { reasonOf } from '../files/reason.js';
export { writeWhole } from '../files/whole.js';

const ANOTHER_FOLDER = 'Name another folder with --out DIR.';

/** Makes the folder before anything is probed, so that a run never ends with nowhere to write. */
export async function prepareFolder(folder: string): Promise<void> {
  const trial = path.join(folder, partName(process.pid, randomBytes(8).toString('hex')));
  const made: string[] = [];
  const impossible = notOnWindows(folder, process.platform);
  if (impossible !== undefined)
    throw new MatchmarkError('usage', `cannot write into ${folder}: ${impossible}`, { next: ANOTHER_FOLDER });
  try {
    await makeFolder(folder, made);
    await writeFile(trial, '', { flag: 'wx' });
    await rm(trial);
  } catch (error) {
    for (const each of made.reverse()) await rmdir(each).catch(() => {});
    throw new MatchmarkError('usage', `cannot write into ${folder}: ${whyNotWritten(error)}`, {
      cause: error,
      next: ANOTHER_FOLDER,
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

/** A folder name for one run: `run-20261125-071500`, in local time. */
export function runFolderName(date: Date, prefix = 'run'): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${date.getFullYear()}${two(date.getMonth() + 1)}${two(date.getDate())}`;
  return `${prefix}-${day}-${two(date.getHours())}${two(date.getMinutes())}${two(date.getSeconds())}`;
}

/** A path as it is shown: from here where it lies below, else in full. */
export function shownPath(file: string, cwd: string): string {
  const relative = path.relative(cwd, file);
  const below = relative !== '' && !path.isAbsolute(relative) && relative.split(path.sep)[0] !== '..';
  return below ? relative : file;
}
