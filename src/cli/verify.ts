import path from 'node:path';
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import { readOrdinaryFile } from '../run/ordinary-file.js';
import { compareSeal } from '../seal/compare.js';
import { LARGEST_SEAL_BYTES, SEAL_NAME } from '../seal/manifest.js';
import { type ReadSeal, readSeal } from '../seal/read.js';
import { checkSignature, fingerprintOf } from '../seal/sign.js';
import { judgeSignature, type Verification, verificationText } from '../seal/verdict.js';
import { action, type CliDeps, type CommonOptions, EXIT, withCommonOptions } from './common.js';
import { prepareFolder, reasonOf, writeWhole } from './files.js';
import { digestFolder } from './folder-digests.js';
import { readPublicKey } from './key-file.js';

interface VerifyOptions extends CommonOptions {
  readonly key?: string;
  readonly seal?: string;
}

const EXAMPLES = `
Examples:
  matchmark verify handover                          is every file as it was sealed, and none missing or added?
  matchmark verify handover --key hale.key.pub       and signed by this key
  matchmark verify handover --seal office/seal.json  held against a seal that was kept elsewhere

Nothing is changed. Ends with 0 where the folder is whole, with 1 where it is not, with 2 where there is no seal to rely on.
`;

export function registerVerify(program: Command, deps: CliDeps, setStatus: (status: number) => void): void {
  withCommonOptions(
    program
      .command('verify')
      .summary('show that a sealed handover folder is whole')
      .description('Holds every file below the folder against its seal.json.')
      .argument('<dir>', 'folder of the handover')
      .option('--key <file>', 'require a valid signature by this public key')
      .option('--seal <file>', 'the seal to hold it against (default: seal.json in the folder)'),
  )
    .addHelpText('before', EXAMPLES.trimStart())
    .action(action(deps, setStatus, (dir: string, options: VerifyOptions) => verify(dir, options, deps)));
}

async function verify(dir: string, options: VerifyOptions, deps: CliDeps): Promise<number> {
  const folder = path.resolve(deps.cwd, dir);
  const file =
    options.seal === undefined ? path.join(folder, SEAL_NAME) : path.resolve(deps.cwd, options.seal);
  const key = options.key === undefined ? undefined : await readPublicKey(options.key, deps);
  const { seal, signed } = await openSeal(file, options.seal ?? path.join(dir, SEAL_NAME));
  const digests = await digestFolder(folder, file, deps.signal).catch((error: unknown) => {
    if (deps.signal.aborted) return undefined;
    throw error;
  });
  if (digests === undefined) {
    deps.stderr.write('Interrupted: not every file was looked at.\n');
    return EXIT.interrupted;
  }
  const differences = compareSeal(seal.files, digests.files, digests.oddities);
  const check = seal.signature === undefined ? undefined : checkSignature(signed, seal.signature);
  const signature = judgeSignature(check, key === undefined ? undefined : fingerprintOf(key));
  const result: Verification = {
    format: 'matchmark.verify/1',
    whole: differences.length === 0 && signature.good,
    sealedAt: seal.sealedAt,
    ...(seal.by === undefined ? {} : { by: seal.by }),
    files: seal.files.length,
    differences,
    signature,
  };
  const json = `${JSON.stringify(result, null, 1)}\n`;
  if (options.out !== undefined) {
    const into = path.resolve(deps.cwd, options.out);
    await prepareFolder(into);
    await writeWhole(path.join(into, 'verify.json'), json);
  }
  if (options.json) deps.stdout.write(json);
  else if (options.quiet !== true || !result.whole) deps.stdout.write(verificationText(result));
  return result.whole ? EXIT.clean : EXIT.findings;
}

async function openSeal(file: string, shown: string): Promise<ReadSeal> {
  let text: string;
  try {
    text = await readOrdinaryFile(file, LARGEST_SEAL_BYTES);
  } catch (cause) {
    throw new MatchmarkError('result-unreadable', `cannot read the seal ${shown}: ${reasonOf(cause)}`, {
      cause,
      next: 'Name the folder that "matchmark seal" sealed, or where its seal is with --seal FILE.',
    });
  }
  return readSeal(text, shown);
}
