/** Keys of seals as files: PEM, the private one for its owner's eyes alone. */
import { createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject } from 'node:crypto';
import { rm, stat, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { MatchmarkError } from '../errors.js';
import { notOnWindows } from '../files/folder-name.js';
import { reasonOf, whyNotWritten } from '../files/reason.js';
import { fingerprintOf } from '../seal/sign.js';
import { readOrdinaryFile } from '../system/ordinary-file.js';
import type { CliDeps } from './common.js';

/** A key file of ours has some 120 octets. */
const LARGEST_KEY_BYTES = 64 * 1024;

export interface NewKey {
  readonly privateKey: KeyObject;
  readonly fingerprint: string;
  /** As given, with its ending. */
  readonly privateFile: string;
  readonly publicFile: string;
}

type KeyHalf = 'private' | 'public';

/** Where `X`, `X.private` and `X.public` all mean one pair. */
export function keyFileOf(given: string, half: KeyHalf): string {
  return `${given.replace(/\.(?:private|public)$/, '')}.${half}`;
}

/** Writes X.private (PKCS #8, mode 0600) and X.public (SubjectPublicKeyInfo). A file that is there is never written over. */
export async function makeKeyFiles(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<NewKey> {
  const privateFile = keyFileOf(given, 'private');
  const publicFile = keyFileOf(given, 'public');
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  await writeNew(privateFile, privateKey.export({ type: 'pkcs8', format: 'pem' }), 0o600, deps);
  try {
    await writeNew(publicFile, publicKey.export({ type: 'spki', format: 'pem' }), 0o644, deps);
  } catch (error) {
    await rm(path.resolve(deps.cwd, privateFile), { force: true });
    throw error;
  }
  return { privateKey, fingerprint: fingerprintOf(publicKey), privateFile, publicFile };
}

/** What cmd or PowerShell does not leave alone in double quotes. */
const ACTS_ON_WINDOWS = /["$`%!\u201c-\u201f]|\p{Cc}/u;

/** What keeps others from the private key on this system, in one sentence. `user`: who runs this, as the system calls them. */
export function keyProtection(file: string, platform: NodeJS.Platform, user: string): string {
  // The name itself: %USERNAME% is known to cmd alone, $env:USERNAME to PowerShell alone.
  const quoted = (text: string, placeholder: string): string =>
    ACTS_ON_WINDOWS.test(text) ? placeholder : `"${text}"`;
  return platform === 'win32'
    ? `On Windows everybody who may read its folder may read it, unless you run: icacls ${quoted(file, 'FILE')} /inheritance:r /grant:r ${quoted(`${user}:R`, '"USER:R"')}`
    : 'Only your account may read it (mode 600).';
}

const ANOTHER_NAME = 'Name a file in a folder of your own with --new-key.';

async function writeNew(
  given: string,
  content: string | Buffer,
  mode: number,
  deps: Pick<CliDeps, 'cwd'>,
): Promise<void> {
  const file = path.resolve(deps.cwd, given);
  const impossible = notOnWindows(file, process.platform);
  if (impossible !== undefined)
    throw new MatchmarkError('usage', `cannot write the key ${given}: ${impossible}`, { next: ANOTHER_NAME });
  await writeFile(file, content, { flag: 'wx', mode }).catch((cause: NodeJS.ErrnoException) => {
    throw cause.code === 'EEXIST'
      ? new MatchmarkError('usage', `${given} is there already, and a key is never written over`, {
          cause,
          next: 'Name another file, or use the key that is there with --key.',
        })
      : new MatchmarkError('usage', `cannot write the key ${given}: ${whyNotWritten(cause)}`, {
          cause,
          next: ANOTHER_NAME,
        });
  });
}

/** The file that a key option means: the one of that name, else the half of that pair. */
export async function findKeyFile(given: string, half: KeyHalf, deps: Pick<CliDeps, 'cwd'>): Promise<string> {
  const there = (name: string): Promise<boolean> =>
    stat(path.resolve(deps.cwd, name)).then(
      (facts) => !facts.isDirectory(),
      () => false,
    );
  const ofPair = keyFileOf(given, half);
  return !(await there(given)) && (await there(ofPair)) ? ofPair : given;
}

/** The private key to sign with. */
export async function readPrivateKey(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<KeyObject> {
  const pem = await readPem(given, deps);
  if (pem.includes('PUBLIC KEY'))
    throw new MatchmarkError('usage', `${given} is the public key, which can only check a signature`, {
      next: `Sign with the private key of the pair, ${keyFileOf(given, 'private')}.`,
    });
  return ofEd25519(given, () => createPrivateKey(pem));
}

/** The public key to check with; of a private key the public half. */
export async function readPublicKey(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<KeyObject> {
  const file = await findKeyFile(given, 'public', deps);
  const pem = await readPem(file, deps);
  return ofEd25519(file, () => createPublicKey(pem));
}

async function readPem(given: string, deps: Pick<CliDeps, 'cwd'>): Promise<string> {
  const file = path.resolve(deps.cwd, given);
  try {
    return await readOrdinaryFile(file, LARGEST_KEY_BYTES);
  } catch (cause) {
    throw new MatchmarkError('usage', `cannot read the key ${given}: ${reasonOf(cause)}`, {
      cause,
      next: 'Name one of the files that "matchmark seal --new-key FILE" wrote.',
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
