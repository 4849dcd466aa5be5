import { createHash, createPublicKey, type KeyObject } from 'node:crypto';
import { realpath, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import { asideReason } from '../seal/aside.js';
import type { Oddity } from '../seal/compare.js';
import { README_NAME, type SealedFile, SIGNATURE_NAME, SUMS_NAME } from '../seal/manifest.js';
import { sealReadme } from '../seal/readme.js';
import { fingerprintOf, signBytes } from '../seal/sign.js';
import { WHOLENESS_ONLY } from '../seal/signature.js';
import { nameTroubles, troubleText } from '../seal/spelling.js';
import { writeSums } from '../seal/sums.js';
import { cleanText } from '../text/clean.js';
import { count, list } from '../text/sentence.js';
import { action, type CliDeps, type CommonOptions, EXIT, withCommonOptions } from './common.js';
import { prepareFolder, shownPath, writeWhole } from './files.js';
import { digestFolder, type FolderDigests } from './folder-digests.js';
import { findKeyFile, keyProtection, makeKeyFiles, readPrivateKey } from './key-file.js';
import { inFolder } from './out-folder.js';
import { isThere } from './seal-files.js';
import { VERSION } from './version.js';

interface SealOptions extends CommonOptions {
  readonly key?: string;
  readonly newKey?: string;
  readonly by?: string;
  readonly replace?: boolean;
}

const EXAMPLES = `
Examples:
  matchmark seal handover                        digests of every file into handover/SHA256SUMS
  matchmark seal --new-key hale                  make a key pair: hale.private to keep, hale.public to give away
  matchmark seal handover --key hale.private --by "R. Hale"
                                                 and sign them
  matchmark verify handover --key hale.public    a year later: is it whole, and is it yours?

The private key stays with you: never put it into the handover. Seal last, when nothing is added any more.
README-SEAL.txt in the folder says how to check it without this program.
`;

const SHOWN = 20;

export function registerSeal(program: Command, deps: CliDeps, setStatus: (status: number) => void): void {
  withCommonOptions(
    program
      .command('seal')
      .summary('write digests of a handover folder, optionally signed')
      .description(
        `Writes the SHA-256 of every file below the folder into ${SUMS_NAME}; --key signs that (Ed25519) into ${SIGNATURE_NAME}.`,
      )
      .argument('[dir]', 'folder of the handover')
      .option('--key <file>', 'private key to sign with')
      .option(
        '--new-key <file>',
        'make a key pair in FILE.private and FILE.public, and sign with it where a folder is named',
      )
      .option('--by <who>', 'who seals, for the record')
      .option('--replace', 'take away the signature of an earlier seal'),
  )
    .addHelpText('before', EXAMPLES.trimStart())
    .action(
      action(deps, setStatus, (dir: string | undefined, options: SealOptions) => seal(dir, options, deps)),
    );
}

async function seal(dir: string | undefined, options: SealOptions, deps: CliDeps): Promise<number> {
  const { key, newKey } = options;
  if (key !== undefined && newKey !== undefined)
    throw new MatchmarkError('usage', 'a seal has one signature: --key and --new-key exclude each other', {
      next: 'Give --key for a key you have, --new-key for one to be made.',
    });
  if (dir === undefined && newKey === undefined)
    throw new MatchmarkError('usage', 'there is nothing to seal', {
      next: 'Name the folder of the handover.',
    });
  const folder = dir === undefined ? undefined : path.resolve(deps.cwd, dir);
  const keyFile = key === undefined ? undefined : await findKeyFile(key, 'private', deps);
  for (const file of [keyFile, newKey])
    if (folder !== undefined && file !== undefined) await keepOut(file, folder, deps);

  const made = newKey === undefined ? undefined : await makeKeyFiles(newKey, deps);
  if (made !== undefined && options.quiet !== true)
    deps.stderr.write(
      `Key: ${made.privateFile} stays with you. ${keyProtection(made.privateFile, deps.platform, userName(deps.env))}\n` +
        `Give away ${made.publicFile}. Its fingerprint: ${made.fingerprint}\n`,
    );
  if (folder === undefined) {
    if (options.json && made !== undefined) {
      const { privateFile, publicFile, fingerprint } = made;
      deps.stdout.write(
        `${JSON.stringify({ privateKey: path.resolve(deps.cwd, privateFile), publicKey: path.resolve(deps.cwd, publicFile), fingerprint })}\n`,
      );
    }
    return EXIT.clean;
  }
  const privateKey =
    made?.privateKey ?? (keyFile === undefined ? undefined : await readPrivateKey(keyFile, deps));
  const into = options.out === undefined ? folder : path.resolve(deps.cwd, options.out);
  const at = (name: string): string => path.join(into, name);
  if (privateKey === undefined && options.replace !== true && (await isThere(at(SIGNATURE_NAME))))
    throw new MatchmarkError(
      'usage',
      `${shownPath(at(SIGNATURE_NAME), deps.cwd)} is the signature of an earlier seal`,
      {
        next: 'Sign again with --key FILE, or take the signature away with --replace.',
      },
    );
  const work = (): Promise<number> => sealFolder({ dir: dir ?? '', folder, into, privateKey }, options, deps);
  // A handover on a medium that cannot be written is sealed elsewhere; nobody writes there.
  return into === folder && (await isFolder(folder)) ? inFolder(folder, { waitMs: TURN_MS }, work) : work();
}

function isFolder(place: string): Promise<boolean> {
  return stat(place).then(
    (facts) => facts.isDirectory(),
    () => false,
  );
}

/** Another command may be writing there: a seal over half of what it writes would be wrong at once. */
const TURN_MS = 10_000;

interface ToSeal {
  /** As it was named. */
  readonly dir: string;
  readonly folder: string;
  /** Where the seal is written. */
  readonly into: string;
  readonly privateKey: KeyObject | undefined;
}

async function sealFolder(
  { dir, folder, into, privateKey }: ToSeal,
  options: SealOptions,
  deps: CliDeps,
): Promise<number> {
  const at = (name: string): string => path.join(into, name);
  const passedOver = new Set(
    [folder, into].flatMap((place) =>
      [SUMS_NAME, SIGNATURE_NAME, README_NAME].map((name) => path.join(place, name)),
    ),
  );
  const digests = await digestFolder(folder, passedOver, deps.signal).catch((error: unknown) => {
    if (deps.signal.aborted) return undefined;
    throw error;
  });
  if (digests === undefined) {
    deps.stderr.write('Interrupted: no seal was written.\n');
    return EXIT.interrupted;
  }
  const { sealed, aside } = whatToSeal(dir, digests);
  const fingerprint = privateKey === undefined ? undefined : fingerprintOf(createPublicKey(privateKey));
  const facts = {
    sealedAt: deps.date().toISOString(),
    by: options.by === undefined ? undefined : cleanText(options.by),
    version: VERSION,
    fingerprint,
  };
  const readme = sealReadme(facts);
  const files = into === folder ? [...sealed, { path: README_NAME, sha256: sha256Of(readme) }] : sealed;
  const sums = writeSums(files);
  await prepareFolder(into);
  await writeWhole(at(README_NAME), readme);
  await writeWhole(at(SUMS_NAME), sums);
  if (privateKey !== undefined)
    await writeWhole(at(SIGNATURE_NAME), signBytes(new TextEncoder().encode(sums), privateKey));
  else await rm(at(SIGNATURE_NAME), { force: true });

  if (options.quiet !== true) {
    for (const { path: left, why } of aside)
      deps.stderr.write(`Left aside: ${cleanText(left, 400)} (${why}).\n`);
    for (const trouble of nameTroubles(files.map((file) => file.path)))
      deps.stderr.write(
        `Note: ${troubleText({ ...trouble, paths: trouble.paths.slice(0, SHOWN).map((each) => cleanText(each, 400)) })}\n`,
      );
  }
  if (options.json)
    deps.stdout.write(
      `${JSON.stringify({ format: 'matchmark.sealed/1', ...facts, seal: at(SUMS_NAME), files, aside }, null, 1)}\n`,
    );
  else if (options.quiet !== true)
    deps.stdout.write(
      `Sealed ${count(files.length, 'file')} in ${shownPath(at(SUMS_NAME), deps.cwd)}${fingerprint === undefined ? `.\n${WHOLENESS_ONLY}` : `, signed by key ${fingerprint}.`}\n`,
    );
  return EXIT.clean;
}

/** Throws where something in the folder cannot be sealed, or must not be handed over. */
function whatToSeal(
  dir: string,
  { files, oddities, privateKeys }: FolderDigests,
): { sealed: SealedFile[]; aside: Oddity[] } {
  if (oddities.length > 0) throw notSealed(dir, oddities);
  if (privateKeys.length > 0)
    throw new MatchmarkError(
      'usage',
      `${dir} holds a private key: ${list(privateKeys.map((each) => cleanText(each, 400)))}`,
      {
        next: 'Move it out of the handover; whoever has it can sign or log in for its owner.',
      },
    );
  const aside = files.flatMap((file): Oddity[] => {
    const why = asideReason(file.path);
    return why === undefined ? [] : [{ path: file.path, why }];
  });
  const left = new Set(aside.map((each) => each.path));
  const sealed = files.filter((file) => !left.has(file.path));
  if (sealed.length === 0)
    throw new MatchmarkError('usage', `${dir} holds no file to seal`, {
      next: 'Name the folder of the handover.',
    });
  return { sealed, aside };
}

function sha256Of(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

/** A private key in the handover would let anybody sign for its owner. Checked where the key is and where its name leads. */
async function keepOut(file: string, folder: string, deps: CliDeps): Promise<void> {
  const real = (place: string): Promise<string> => realpath(place).catch(() => place);
  const place = path.resolve(deps.cwd, file);
  const named = path.join(await real(path.dirname(place)), path.basename(place));
  const inside = await real(folder);
  for (const each of [named, await real(place)]) {
    const within = path.relative(inside, each);
    if (within === '' || within.split(path.sep)[0] === '..' || path.isAbsolute(within)) continue;
    throw new MatchmarkError(
      'usage',
      `the private key ${file} lies in the folder that is to be handed over`,
      { next: 'Keep it somewhere else; whoever has it can sign for you.' },
    );
  }
}

function notSealed(dir: string, oddities: readonly Oddity[]): MatchmarkError {
  const shown = oddities.slice(0, SHOWN).map(({ path: at, why }) => `  ${cleanText(at, 400)} ${why}`);
  const more = oddities.length > SHOWN ? [`  ... and ${oddities.length - SHOWN} more`] : [];
  const lines = [
    `${dir} is not sealed, since ${count(oddities.length, 'entry', 'entries')} cannot be:`,
    ...shown,
    ...more,
  ];
  return new MatchmarkError('usage', lines.join('\n'), {
    next: 'Replace links by the files they lead to, rename or remove the others, then seal again.',
  });
}

/** Windows says it in the environment, as icacls takes it. */
function userName(env: CliDeps['env']): string {
  return env.USERNAME ?? 'USER';
}
