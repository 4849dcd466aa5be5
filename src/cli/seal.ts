import { createPublicKey, type KeyObject } from 'node:crypto';
import { realpath } from 'node:fs/promises';
import path from 'node:path';
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import type { Oddity } from '../seal/compare.js';
import { manifestOf, SEAL_NAME, type Seal, signedBytes } from '../seal/manifest.js';
import { fingerprintOf, signBytes } from '../seal/sign.js';
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import { action, type CliDeps, type CommonOptions, EXIT, withCommonOptions } from './common.js';
import { prepareFolder, shownPath, writeWhole } from './files.js';
import { digestFolder } from './folder-digests.js';
import { makeKeyFiles, readPrivateKey } from './key-file.js';
import { VERSION } from './version.js';

interface SealOptions extends CommonOptions {
  readonly key?: string;
  readonly newKey?: string;
  readonly by?: string;
}

const EXAMPLES = `
Examples:
  matchmark seal handover                        digests of every file into handover/seal.json
  matchmark seal --new-key hale.key              make a key pair: hale.key to keep, hale.key.pub to give away
  matchmark seal handover --key hale.key --by "R. Hale"
                                                 and sign them
  matchmark verify handover --key hale.key.pub   a year later: is it whole, and is it yours?

The private key stays with you: never put it into the handover. Seal last, when nothing is added any more.
`;

const ODDITIES_SHOWN = 20;

export function registerSeal(program: Command, deps: CliDeps, setStatus: (status: number) => void): void {
  withCommonOptions(
    program
      .command('seal')
      .summary('write digests of a handover folder, optionally signed')
      .description(
        'Writes the SHA-256 of every file below the folder into seal.json; --key signs that (Ed25519).',
      )
      .argument('[dir]', 'folder of the handover')
      .option('--key <file>', 'private key to sign with')
      .option(
        '--new-key <file>',
        'make a key pair in FILE and FILE.pub, and sign with it where a folder is named',
      )
      .option('--by <who>', 'who seals, for the record'),
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
  for (const file of [key, newKey])
    if (folder !== undefined && file !== undefined) await keepOut(file, folder, deps);

  const made = newKey === undefined ? undefined : await makeKeyFiles(newKey, deps);
  if (made !== undefined && options.quiet !== true)
    deps.stderr.write(
      `Key: ${newKey} stays with you; give away ${shownPath(made.publicFile, deps.cwd)}\nFingerprint: ${made.fingerprint}\n`,
    );
  if (folder === undefined) {
    if (options.json && made !== undefined)
      deps.stdout.write(`${JSON.stringify({ publicKey: made.publicFile, fingerprint: made.fingerprint })}\n`);
    return EXIT.clean;
  }
  const privateKey = made?.privateKey ?? (key === undefined ? undefined : await readPrivateKey(key, deps));
  const into = options.out === undefined ? folder : path.resolve(deps.cwd, options.out);
  const file = path.join(into, SEAL_NAME);
  const digests = await digestFolder(folder, file, deps.signal).catch((error: unknown) => {
    if (deps.signal.aborted) return undefined;
    throw error;
  });
  if (digests === undefined) {
    deps.stderr.write('Interrupted: no seal was written.\n');
    return EXIT.interrupted;
  }
  if (digests.oddities.length > 0) throw notSealed(dir ?? '', digests.oddities);
  if (digests.files.length === 0)
    throw new MatchmarkError('usage', `${dir} holds no file to seal`, {
      next: 'Name the folder of the handover.',
    });

  const by = options.by === undefined ? undefined : cleanText(options.by);
  const manifest = manifestOf(digests.files, { sealedAt: deps.date().toISOString(), by, version: VERSION });
  const sealed: Seal =
    privateKey === undefined
      ? manifest
      : { ...manifest, signature: signBytes(signedBytes(manifest), privateKey) };
  const json = `${JSON.stringify(sealed, null, 1)}\n`;
  await prepareFolder(into);
  await writeWhole(file, json);
  if (options.json) deps.stdout.write(json);
  else if (options.quiet !== true)
    deps.stdout.write(
      `Sealed ${count(manifest.files.length, 'file')} in ${shownPath(file, deps.cwd)}, ${signer(privateKey)}.\n`,
    );
  return EXIT.clean;
}

function signer(privateKey: KeyObject | undefined): string {
  return privateKey === undefined
    ? 'not signed'
    : `signed by key ${fingerprintOf(createPublicKey(privateKey))}`;
}

/** A private key in the handover would let anybody sign for its owner. */
async function keepOut(file: string, folder: string, deps: CliDeps): Promise<void> {
  const real = (place: string): Promise<string> => realpath(place).catch(() => place);
  const place = path.resolve(deps.cwd, file);
  const within = path.relative(
    await real(folder),
    path.join(await real(path.dirname(place)), path.basename(place)),
  );
  if (within === '' || within.split(path.sep)[0] === '..' || path.isAbsolute(within)) return;
  throw new MatchmarkError('usage', `the private key ${file} lies in the folder that is to be handed over`, {
    next: 'Keep it somewhere else; whoever has it can sign for you.',
  });
}

function notSealed(dir: string, oddities: readonly Oddity[]): MatchmarkError {
  const shown = oddities
    .slice(0, ODDITIES_SHOWN)
    .map(({ path: at, why }) => `  ${cleanText(at, 400)} ${why}`);
  const more = oddities.length > ODDITIES_SHOWN ? [`  ... and ${oddities.length - ODDITIES_SHOWN} more`] : [];
  const lines = [
    `${dir} is not sealed, since ${count(oddities.length, 'entry', 'entries')} cannot be:`,
    ...shown,
    ...more,
  ];
  return new MatchmarkError('usage', lines.join('\n'), {
    next: 'Replace links by the files they lead to, rename or remove the others, then seal again.',
  });
}
