/** Documents appear whole or not at all: written beside under a name of its own, pushed to the disk, then renamed. */
import { randomBytes } from 'node:crypto';
import { constants } from 'node:fs';
import { copyFile, type FileHandle, lstat, open, rename, rm } from 'node:fs/promises';
import path from 'node:path';
import { setImmediate as aTurn } from 'node:timers/promises';
import { MatchmarkError } from '../errors.js';
import { notOnWindows } from './folder-name.js';
import { partName } from './leftovers.js';
import { whyNotWritten } from './reason.js';
import { retrying, whatToClose } from './retrying.js';

/** Throws MatchmarkError `write-failed`; the old file is then still there as it was. */
export function writeWhole(file: string, content: string | Uint8Array): Promise<void> {
  return writeChunks(file, [content]);
}

/** The same from parts, so that a large document is never in memory as one text. */
export function writeChunks(file: string, chunks: Iterable<string | Uint8Array>): Promise<void> {
  return writeTogether([{ file, chunks: () => chunks }]);
}

/** An empty chunk lets whatever waits have its turn, such as Ctrl-C. `chunks` is called once those before it are written: a page may name the digest of its data. */
export interface Document {
  readonly file: string;
  readonly chunks: () => Iterable<string | Uint8Array>;
}

/** Several documents that speak of one thing: all of them new, or all as they were. Throws as `writeWhole` does. */
export async function writeTogether(documents: readonly Document[]): Promise<void> {
  const parts: { readonly file: string; readonly beside: string }[] = [];
  const undo: (() => Promise<void>)[] = [];
  const clear: string[] = [];
  let at = documents[0]?.file ?? '';
  try {
    for (const { file, chunks } of documents) {
      at = file;
      const impossible = notOnWindows(file, process.platform);
      if (impossible !== undefined)
        throw new MatchmarkError('write-failed', `cannot write ${file}: ${impossible}`, {
          next: 'Name another file with --out.',
        });
      const beside = nameBeside(file);
      clear.push(beside);
      parts.push({ file, beside });
      await writePart(beside, chunks());
    }
    for (const [index, { file, beside }] of parts.entries()) {
      at = file;
      // Of the last nothing has to be undone.
      if (index < parts.length - 1) undo.unshift(await keepOld(file, clear));
      await retrying(() => rename(beside, file));
    }
  } catch (error) {
    for (const each of undo) await each().catch(() => {});
    for (const left of clear) await retrying(() => rm(left, { force: true })).catch(() => {});
    // What could not be made into text is no fault of the disk.
    if (typeof (error as NodeJS.ErrnoException).code !== 'string' || error instanceof MatchmarkError)
      throw error;
    throw new MatchmarkError('write-failed', `cannot write ${at}: ${whyNotWritten(error)}`, {
      cause: error,
      next:
        whatToClose(error, at, process.platform) ??
        'Free some space, close the file where it is open, or name another folder with --out DIR; then run it again.',
    });
  }
  for (const left of clear) await rm(left, { force: true }).catch(() => {});
  for (const folder of new Set(parts.map(({ file }) => path.dirname(file)))) await syncFolder(folder);
}

function nameBeside(file: string): string {
  return path.join(path.dirname(file), partName(process.pid, randomBytes(8).toString('hex')));
}

async function writePart(beside: string, chunks: Iterable<string | Uint8Array>): Promise<void> {
  // `wx`: neither a file nor a link that somebody laid there is ever written through.
  const handle = await retrying(() => open(beside, 'wx'));
  try {
    for (const chunk of chunks) await (chunk.length === 0 ? aTurn() : writeAll(handle, chunk));
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Keeps what is there now; gives what brings it back. A link is taken away, never followed. */
async function keepOld(file: string, clear: string[]): Promise<() => Promise<void>> {
  const facts = await lstat(file).catch(() => undefined);
  if (facts?.isFile() !== true) return () => rm(file, { force: true });
  const kept = nameBeside(file);
  clear.push(kept);
  await copyFile(file, kept, constants.COPYFILE_EXCL | constants.COPYFILE_FICLONE);
  return () => retrying(() => rename(kept, file));
}

async function writeAll(handle: FileHandle, chunk: string | Uint8Array): Promise<void> {
  const bytes = typeof chunk === 'string' ? Buffer.from(chunk) : chunk;
  for (let at = 0; at < bytes.length; ) at += (await handle.write(bytes, at)).bytesWritten;
}

/** The new name is on the disk too. Where folders cannot be opened (Windows), the system sees to it. */
async function syncFolder(folder: string): Promise<void> {
  try {
    const handle = await open(folder, 'r');
    await handle.sync().finally(() => handle.close());
  } catch {
    // The document itself is safe; its name comes with the system's next writing.
  }
}
