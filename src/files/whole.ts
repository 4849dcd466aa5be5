/** Documents appear whole or not at all: written beside under a name of its own, pushed to the disk, then renamed. */
import { randomBytes } from 'node:crypto';
import { type FileHandle, open, rename, rm } from 'node:fs/promises';
import path from 'node:path';
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
export async function writeChunks(file: string, chunks: Iterable<string | Uint8Array>): Promise<void> {
  const impossible = notOnWindows(file, process.platform);
  if (impossible !== undefined)
    throw new MatchmarkError('write-failed', `cannot write ${file}: ${impossible}`, {
      next: 'Name another file with --out.',
    });
  const beside = path.join(path.dirname(file), partName(process.pid, randomBytes(8).toString('hex')));
  try {
    // `wx`: neither a file nor a link that somebody laid there is ever written through.
    const handle = await retrying(() => open(beside, 'wx'));
    try {
      for (const chunk of chunks) await writeAll(handle, chunk);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await retrying(() => rename(beside, file));
    await syncFolder(path.dirname(file));
  } catch (error) {
    await retrying(() => rm(beside, { force: true })).catch(() => {});
    // What could not be made into text is no fault of the disk.
    if (typeof (error as NodeJS.ErrnoException).code !== 'string') throw error;
    throw new MatchmarkError('write-failed', `cannot write ${file}: ${whyNotWritten(error)}`, {
      cause: error,
      next:
        whatToClose(error, file, process.platform) ??
        'Free some space, close the file where it is open, or name another folder with --out DIR; then run it again.',
    });
  }
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
