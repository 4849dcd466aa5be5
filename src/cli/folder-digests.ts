/** Every file below a folder with its SHA-256, read as a stream; what cannot be hashed is told apart. Follows no link. */
import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { open, readdir } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { JOURNAL_NAME } from '../files/journal.js';
import { isLeftover } from '../files/leftovers.js';
import { LOCK_NAME } from '../files/lock.js';
import type { Oddity } from '../seal/compare.js';
import { pathFault } from '../seal/file-path.js';
import { MOST_FILES, type SealedFile } from '../seal/manifest.js';
import { isKeptAnswers } from './attest-kept.js';
import { reasonOf } from './files.js';

export interface FolderDigests {
  readonly files: readonly SealedFile[];
  /** In the words of a sentence that begins with the path. */
  readonly oddities: readonly Oddity[];
  /** Files that hold a private key, of whatever kind. */
  readonly privateKeys: readonly string[];
}

const CHUNK_BYTES = 1024 * 1024;
/** Zero where the system has no such flag. */
const READ_ONLY = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

function isOfARun(name: string): boolean {
  return name === LOCK_NAME || name === JOURNAL_NAME || isLeftover(name) || isKeptAnswers(name);
}

/** `except`: absolute paths that are passed over. Throws what `signal` was aborted with. */
export async function digestFolder(
  folder: string,
  except: ReadonlySet<string>,
  signal: AbortSignal,
): Promise<FolderDigests> {
  const files: SealedFile[] = [];
  const oddities: Oddity[] = [];
  const privateKeys: string[] = [];
  const walk = async (place: string, above: string): Promise<void> => {
    const entries = await readdir(place, { withFileTypes: true }).catch((error: unknown) => {
      if (above === '') throw unreadable(folder, error);
      oddities.push({ path: above, why: `cannot be read: ${reasonOf(error)}` });
      return [];
    });
    for (const entry of entries) {
      signal.throwIfAborted();
      const below = above === '' ? entry.name : `${above}/${entry.name}`;
      const here = path.join(place, entry.name);
      // Of a run under way, or killed: gone with the next run.
      if (except.has(here) || isOfARun(entry.name)) continue;
      const fault = pathFault(below);
      if (fault !== undefined) oddities.push({ path: below, why: `cannot be sealed: ${fault}` });
      else if (entry.isDirectory()) await walk(here, below);
      else if (entry.isFile())
        await digestFile(here, signal).then(
          ({ size, sha256, isPrivateKey }) => {
            files.push({ path: below, size, sha256 });
            if (isPrivateKey) privateKeys.push(below);
          },
          (error: unknown) => {
            signal.throwIfAborted();
            oddities.push({ path: below, why: `cannot be read: ${reasonOf(error)}` });
          },
        );
      else
        oddities.push({
          path: below,
          why: entry.isSymbolicLink() ? 'is a symbolic link' : 'is no ordinary file',
        });
      if (files.length + oddities.length > MOST_FILES)
        throw new MatchmarkError('usage', `${folder} holds more than ${MOST_FILES} files`, {
          next: 'Name the folder of the handover.',
        });
    }
  };
  await walk(folder, '');
  return { files, oddities, privateKeys };
}

interface FileDigest {
  readonly size: number;
  readonly sha256: string;
  readonly isPrivateKey: boolean;
}

/** RFC 8410 §7 (OneAsymmetricKey of 32 octets) as DER begins with these. */
const ED25519_PRIVATE_DER = '302e020100300506032b657004220420';
/** RFC 7468 §10 and §11; the older forms name the algorithm before it. */
const PRIVATE_PEM = /^-----BEGIN [A-Z0-9 ]*PRIVATE KEY-----\r?$/m;

/** `beginning`: the first octets of a file. */
function holdsPrivateKey(beginning: Buffer): boolean {
  return (
    beginning.subarray(0, ED25519_PRIVATE_DER.length / 2).toString('hex') === ED25519_PRIVATE_DER ||
    PRIVATE_PEM.test(beginning.toString('latin1'))
  );
}

/** The octets that were hashed are the octets that are counted, also where the file grows meanwhile. */
async function digestFile(file: string, signal: AbortSignal): Promise<FileDigest> {
  const handle = await open(file, READ_ONLY);
  try {
    const hash = createHash('sha256');
    const buffer = Buffer.alloc(CHUNK_BYTES);
    let size = 0;
    let isPrivateKey = false;
    while (true) {
      signal.throwIfAborted();
      const { bytesRead } = await handle.read(buffer, 0, CHUNK_BYTES);
      if (bytesRead === 0) return { size, sha256: hash.digest('hex'), isPrivateKey };
      if (size === 0) isPrivateKey = holdsPrivateKey(buffer.subarray(0, bytesRead));
      hash.update(buffer.subarray(0, bytesRead));
      size += bytesRead;
    }
  } finally {
    await handle.close();
  }
}

function unreadable(folder: string, cause: unknown): MatchmarkError {
  const isFile = (cause as NodeJS.ErrnoException).code === 'ENOTDIR';
  return new MatchmarkError(
    'usage',
    isFile ? `${folder} is no folder` : `cannot read the folder ${folder}: ${reasonOf(cause)}`,
    { cause, next: 'Name the folder of the handover.' },
  );
}
