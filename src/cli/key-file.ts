/** Keys of seals as files: PEM, the private one for its owner's eyes alone. */
import { createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject } from 'node:crypto';
import { rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { readOrdinaryFile } from '../run/ordinary-file.js';
import { fingerprintOf } from '../seal/sign.js';
import type { CliDeps } from './common.js';
import { reasonOf } from './files.js';

/** A key file of ours has some 120 octets. */
const LARGEST_KEY_BYTES = 64 * 1024;

export interface NewKey {
  readonly privateKey: KeyObject;
  readonly fingerprint: string;
  readonly publicFile: string;
}

/** Writes FILE (PKCS #8, mode 0600) and FILE.pub (SubjectPublicKeyInfo). A file that is there is never written over. */
export async function makeKeyFiles(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<NewKey> {
  const file = path.resolve(deps.cwd, given);
  const publicFile = `${file}.pub`;
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  await writeNew(file, privateKey.export({ type: 'pkcs8', format: 'pem' }), 0o600, given);
  try {
    await writeNew(publicFile, publicKey.export({ type: 'spki', format: 'pem' }), 0o644, `${given}.pub`);
  } catch (error) {
    await rm(file, { force: true });
    throw error;
  }
  return { privateKey, fingerprint: fingerprintOf(publicKey), publicFile };
}

async function writeNew(file: string, content: string | Buffer, mode: number, given: string): Promise<void> {
  await writeFile(file, content, { flag: 'wx', mode }).catch((cause: NodeJS.ErrnoException) => {
    throw cause.code === 'EEXIST'
      ? new MatchmarkError('usage', `${given} is there already, and a key is never written over`, {
          cause,
          next: 'Name another file, or use the key that is there with --key.',
        })
      : new MatchmarkError('usage', `cannot write the key ${given}: ${reasonOf(cause)}`, {
          cause,
          next: 'Name a file in a folder of your own with --new-key.',
        });
  });
}

/** The private key to sign with. */
export async function readPrivateKey(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<KeyObject> {
  const pem = await readPem(given, deps);
  if (pem.includes('PUBLIC KEY'))
    throw new MatchmarkError('usage', `${given} is the public key, which can only check a signature`, {
      next: 'Sign with the private key that lies beside it, without .pub.',
    });
  return ofEd25519(given, () => createPrivateKey(pem));
}

/** The public key to check with; of a private key the public half. */
export async function readPublicKey(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<KeyObject> {
  const pem = await readPem(given, deps);
  return ofEd25519(given, () => createPublicKey(pem));
}

async function readPem(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<string> {
  const file = path.resolve(deps.cwd, given);
  try {
    return await readOrdinaryFile(file, LARGEST_KEY_BYTES);
  } catch (cause) {
    throw new MatchmarkError('usage', `cannot read the key ${given}: ${reasonOf(cause)}`, {
      cause,
      next: 'Name the file that "matchmark seal --new-key FILE" wrote.',
    });
  }
}

/** The library's own words are left out: they may quote the file. */
function ofEd25519(given: string, read: () => KeyObject): KeyObject {
  let key: KeyObject;
  try {
    key = read();
  } catch {
    throw notAKey(given, 'it holds none in PEM, or one locked with a passphrase');
  }
  if (key.asymmetricKeyType === 'ed25519') return key;
  throw notAKey(given, `it is a key for ${key.asymmetricKeyType}`);
}

function notAKey(given: string, why: string): MatchmarkError {
  return new MatchmarkError('usage', `${given} is no Ed25519 key: ${why}`, {
    next: '"matchmark seal --new-key FILE" makes one.',
  });
}
