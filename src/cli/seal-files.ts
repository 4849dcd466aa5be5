/** A seal as it lies in a folder: SHA256SUMS with its signature, or the seal.json of an earlier version. */
import { lstat } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { LARGEST_SEAL_BYTES, type SealedFile, SIGNATURE_NAME, SUMS_NAME } from '../seal/manifest.js';
import { OLD_SEAL_NAME, type OldSeal, readOldSeal } from '../seal/old-seal.js';
import { SIGNATURE_OCTETS } from '../seal/sign.js';
import { readSums } from '../seal/sums.js';
import { readOrdinaryBytes } from '../system/ordinary-file.js';
import { reasonOf } from './files.js';

export type SealInFolder =
  | {
      readonly form: 'sums';
      readonly files: readonly SealedFile[];
      readonly signed: Uint8Array;
      /** What stands beside it; undefined where nothing does. */
      readonly signature: Uint8Array | undefined;
    }
  | {
      readonly form: 'old';
      readonly files: readonly SealedFile[];
      readonly signed: Uint8Array;
      readonly seal: OldSeal;
    };

/** The seal of a folder: SHA256SUMS, or seal.json where there is only that. */
export async function sealFileIn(folder: string): Promise<string> {
  const sums = path.join(folder, SUMS_NAME);
  const old = path.join(folder, OLD_SEAL_NAME);
  return !(await isThere(sums)) && (await isThere(old)) ? old : sums;
}

/** A seal may have been kept under any name: what it is shows in its first octet. */
export async function openSeal(file: string, shown: string): Promise<SealInFolder> {
  const signed = await read(file, LARGEST_SEAL_BYTES, `the seal ${shown}`);
  if (signed[0] === '{'.charCodeAt(0)) {
    const { seal, signed: canonical } = readOldSeal(signed.toString('utf8'), shown);
    return { form: 'old', files: seal.files, signed: canonical, seal };
  }
  const files = readSums(signed, shown);
  const beside = signatureBeside(file);
  const signature = (await isThere(beside))
    ? await read(beside, SIGNATURE_OCTETS * 64, `the signature ${beside}`)
    : undefined;
  return { form: 'sums', files, signed, signature };
}

export function signatureBeside(file: string): string {
  return path.basename(file) === SUMS_NAME ? path.join(path.dirname(file), SIGNATURE_NAME) : `${file}.sig`;
}

export function isThere(file: string): Promise<boolean> {
  return lstat(file).then(
    () => true,
    () => false,
  );
}

async function read(file: string, limitBytes: number, what: string): Promise<Buffer> {
  try {
    return await readOrdinaryBytes(file, limitBytes);
  } catch (cause) {
    throw new MatchmarkError('result-unreadable', `cannot read ${what}: ${reasonOf(cause)}`, {
      cause,
      next: 'Name the folder that "matchmark seal" sealed, or where its seal is with --seal FILE.',
    });
  }
}
