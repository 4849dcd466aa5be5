/** Files that somebody else may have laid there: a pipe, a device or a file without end must not hold or fill the program. */
import { constants } from 'node:fs';
import { open } from 'node:fs/promises';

/** Opening a pipe that nobody writes to would wait for ever. Zero where the system has no such flag. */
const READ_ONLY = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);
const CHUNK_BYTES = 1 << 20;

/** The text (UTF-8) of an ordinary file of at most `limitBytes`. Rejects with the system's error, or says in words why not. */
export async function readOrdinaryFile(file: string, limitBytes: number): Promise<string> {
  return (await readOrdinaryBytes(file, limitBytes)).toString('utf8');
}

/** The same as octets. */
export async function readOrdinaryBytes(file: string, limitBytes: number): Promise<Buffer> {
  const handle = await open(file, READ_ONLY);
  try {
    const facts = await handle.stat();
    if (facts.isDirectory()) throw Object.assign(new Error('it is a folder'), { code: 'EISDIR' });
    if (!facts.isFile()) throw new Error('it is no ordinary file');
    const chunks: Uint8Array[] = [];
    let length = 0;
    // Counted while reading: files of /proc state no size, and any file may grow.
    while (length <= limitBytes) {
      const room = Math.min(CHUNK_BYTES, limitBytes + 1 - length);
      const { bytesRead, buffer } = await handle.read(new Uint8Array(room), 0, room);
      if (bytesRead === 0) return Buffer.concat(chunks);
      chunks.push(buffer.subarray(0, bytesRead));
      length += bytesRead;
    }
    throw new Error(`it is larger than ${limitBytes} octets`);
  } finally {
    await handle.close();
  }
}
