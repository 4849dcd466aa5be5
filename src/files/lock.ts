/** One at a time in a folder: a file beside the result says who works there. */
import { randomBytes } from 'node:crypto';
import { unlinkSync } from 'node:fs';
import { link, rename, rm, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { readOrdinaryFile } from '../system/ordinary-file.js';
import { isAlive } from './alive.js';
import { whyNotWritten } from './reason.js';

export const LOCK_NAME = '.matchmark-lock';
const RETRY_MS = 100;
/** What somebody else laid there under its name is read no further. */
const LARGEST_LOCK_BYTES = 1000;

interface Holder {
  readonly pid: number;
  readonly host: string;
  readonly token: string;
}

/**
 * Waits up to `waitMs` for another process of ours to end its work there. Throws MatchmarkError `usage` where it does not. A lock whose
 * process of this laptop is gone is taken over. Gives the function that ends it.
 */
export async function lockFolder(folder: string, waitMs: number): Promise<() => Promise<void>> {
  const file = path.join(folder, LOCK_NAME);
  const own: Holder = { pid: process.pid, host: hostname(), token: randomBytes(8).toString('hex') };
  const until = performance.now() + waitMs;
  for (;;) {
    if (await place(file, own)) break;
    const holder = await read(file);
    if (holder !== 'gone' && isLeft(holder) && (await takeAway(file, holder))) continue;
    if (holder === 'gone') continue;
    if (performance.now() >= until) throw held(folder, file, holder);
    await new Promise((resolve) => setTimeout(resolve, RETRY_MS));
  }
  // Where the process is ended from within, the lock goes with it.
  const onExit = (): void => {
    try {
      unlinkSync(file);
    } catch {
      // Somebody cleared the folder.
    }
  };
  process.once('exit', onExit);
  return async () => {
    process.off('exit', onExit);
    const holder = await read(file);
    if (holder !== 'gone' && holder?.token === own.token) await rm(file, { force: true }).catch(() => {});
  };
}

async function place(file: string, own: Holder): Promise<boolean> {
  try {
    await writeFile(file, JSON.stringify(own), { flag: 'wx', flush: true });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw new MatchmarkError('usage', `cannot write into ${path.dirname(file)}: ${whyNotWritten(error)}`, {
      cause: error,
      next: 'Name another folder with --out DIR.',
    });
  }
}

/** Undefined: there is one, and it cannot be read (written half when the power went). */
async function read(file: string): Promise<Holder | 'gone' | undefined> {
  let text: string;
  try {
    text = await readOrdinaryFile(file, LARGEST_LOCK_BYTES);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ENOENT' ? 'gone' : undefined;
  }
  try {
    const value: unknown = JSON.parse(text);
    if (typeof value !== 'object' || value === null) return undefined;
    const { pid, host, token } = value as Partial<Record<keyof Holder, unknown>>;
    return typeof pid === 'number' && typeof host === 'string' && typeof token === 'string'
      ? { pid, host, token }
      : undefined;
  } catch {
    return undefined;
  }
}

function isLeft(holder: Holder | undefined): boolean {
  return holder !== undefined && holder.host === hostname() && !isAlive(holder.pid);
}

/** Two may find the same lock left: it is moved away first, and moved back where it turns out to be another by now. */
async function takeAway(file: string, left: Holder | undefined): Promise<boolean> {
  const aside = `${file}-${randomBytes(8).toString('hex')}`;
  try {
    await rename(file, aside);
  } catch {
    return true;
  }
  const moved = await read(aside);
  const right = moved !== 'gone' && moved?.token === left?.token;
  if (!right) await link(aside, file).catch(() => {});
  await rm(aside, { force: true });
  return right;
}

function held(folder: string, file: string, holder: Holder | undefined): MatchmarkError {
  const who = holder === undefined ? '' : ` (process ${holder.pid} on ${holder.host})`;
  return new MatchmarkError('usage', `another matchmark works in ${folder}${who}`, {
    next: `Let it end, or name another folder. Where none runs, delete ${file}.`,
  });
}
