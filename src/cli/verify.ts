import path from 'node:path';
import type { Command } from 'commander';
import { compareSeal } from '../seal/compare.js';
import { README_NAME, SIGNATURE_NAME, SUMS_NAME } from '../seal/manifest.js';
import { OLD_SEAL_NAME } from '../seal/old-seal.js';
import { judgeOldSignature, judgeSignature } from '../seal/signature.js';
import { type Verification, verificationText } from '../seal/verdict.js';
import { action, type CliDeps, type CommonOptions, EXIT, withCommonOptions } from './common.js';
import { endable } from './endable.js';
import { prepareFolder, shownPath, writeWhole } from './files.js';
import { digestFolder } from './folder-digests.js';
import { readPublicKey } from './key-file.js';
import { openSeal, type SealInFolder, sealFileIn, signatureBeside } from './seal-files.js';

interface VerifyOptions extends CommonOptions {
  readonly key?: string;
  readonly seal?: string;
}

const EXAMPLES = `
Examples:
  matchmark verify handover                            is every file as it was sealed, and none missing or added?
  matchmark verify handover --key hale.public          and signed by this key
  matchmark verify handover --seal office/SHA256SUMS   compare with a seal that was kept elsewhere

Nothing is changed. Ends with 0 where the folder is whole, with 1 where it is not, with 2 where there is no seal to rely on.
Without a key it proves wholeness only. README-SEAL.txt in the folder says how to check it without this program.
`;

export function registerVerify(program: Command, deps: CliDeps, setStatus: (status: number) => void): void {
  withCommonOptions(
    program
      .command('verify')
      .summary('show that a sealed handover folder is whole')
      .description(`Compares every file below the folder with its ${SUMS_NAME}.`)
      .argument('<dir>', 'folder of the handover')
      .option('--key <file>', 'require a valid signature by this public key')
      .option('--seal <file>', `the seal to compare it with (default: ${SUMS_NAME} in the folder)`),
  )
    .addHelpText('before', EXAMPLES.trimStart())
    .action(action(deps, setStatus, (dir: string, options: VerifyOptions) => verify(dir, options, deps)));
}

async function verify(dir: string, options: VerifyOptions, deps: CliDeps): Promise<number> {
  const folder = path.resolve(deps.cwd, dir);
  const file = options.seal === undefined ? await sealFileIn(folder) : path.resolve(deps.cwd, options.seal);
  const key = options.key === undefined ? undefined : await readPublicKey(options.key, deps);
  const seal = await endable(deps, () => openSeal(file, options.seal ?? shownPath(file, deps.cwd)));
  const digests = await digestFolder(folder, new Set(), deps.signal).catch((error: unknown) => {
    if (deps.signal.aborted) return undefined;
    throw error;
  });
  if (digests === undefined) {
    deps.stderr.write('Interrupted: not every file was looked at.\n');
    return EXIT.interrupted;
  }
  const compared = compareSeal(seal.files, digests.files, digests.oddities, ownPaths(folder, file, seal));
  const signature =
    seal.form === 'sums'
      ? judgeSignature(seal.signed, seal.signature, key)
      : judgeOldSignature(seal.signed, seal.seal.signature, key);
  const result: Verification = {
    format: 'matchmark.verify/1',
    whole: compared.differences.length === 0 && signature.good,
    seal: path.basename(file),
    ...(seal.form === 'old' ? { sealedAt: seal.seal.sealedAt, by: seal.seal.by } : {}),
    files: seal.files.length,
    ...compared,
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

/** What is the seal's own in the folder, whether it is held against that one or one that was kept elsewhere. */
function ownPaths(folder: string, file: string, seal: SealInFolder): ReadonlySet<string> {
  const beside = [file, signatureBeside(file), path.join(path.dirname(file), README_NAME)].map((each) =>
    path.relative(folder, each).split(path.sep).join('/'),
  );
  return new Set([
    SUMS_NAME,
    SIGNATURE_NAME,
    README_NAME,
    ...(seal.form === 'old' ? [OLD_SEAL_NAME] : []),
    ...beside,
  ]);
}
