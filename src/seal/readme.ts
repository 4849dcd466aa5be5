/** README-SEAL.txt: what the seal is and how to check it with tools that every system has, in a year, without this program. */
import { README_NAME, SIGNATURE_NAME, SUMS_NAME } from './manifest.js';

export interface SealFacts {
  readonly sealedAt: string;
  readonly by?: string | undefined;
  readonly version: string;
  /** Of the key that signed; undefined where nobody did. */
  readonly fingerprint?: string | undefined;
}

/** Lines end with CR LF: old editors on Windows show others as one line. */
export function sealReadme(facts: SealFacts): string {
  const { sealedAt, by, version, fingerprint } = facts;
  const lines = [
    `This folder was sealed on ${sealedAt}${by === undefined ? '' : ` by ${by}`} (matchmark ${version}).`,
    '',
    `${SUMS_NAME} has the SHA-256 of every file below this folder, this one included.`,
    ...(fingerprint === undefined
      ? [
          'It is not signed. It proves wholeness only: that no file changed by accident. Whoever changes a file can write new',
          'digests, so keep a copy of SHA256SUMS where nobody else can reach it.',
        ]
      : [
          `${SIGNATURE_NAME} is the Ed25519 signature over exactly the bytes of ${SUMS_NAME}. It is by the key with the fingerprint`,
          `  ${fingerprint}`,
          '(SHA-256 of the public key in DER). The public key is not in this folder: get it, or this fingerprint, from the person',
          'who signed.',
        ]),
    '',
    'How to check it, in this folder:',
    '',
    'Linux:    sha256sum -c --quiet SHA256SUMS        says nothing where every file is as it was',
    'macOS:    shasum -a 256 -c --quiet SHA256SUMS    the same',
    'Windows:  Get-FileHash FILE                      in PowerShell: the digest of one file, to compare with its line',
    ...(fingerprint === undefined
      ? []
      : [
          '',
          'Signature, with OpenSSL 3 (X.public is the public key):',
          '',
          'openssl pkeyutl -verify -pubin -rawin -inkey X.public -in SHA256SUMS -sigfile SHA256SUMS.sig',
          'openssl pkey -pubin -in X.public -outform DER | openssl dgst -sha256     must be the fingerprint above',
        ]),
    '',
    'These commands do not see files that were added. This program does:',
    '',
    `matchmark verify DIR${fingerprint === undefined ? '' : ' --key X.public'}`,
    '',
    `Whoever can change this folder can change this text too: a file is proven by ${SUMS_NAME}, and ${SUMS_NAME} by its`,
    `signature and a key that you did not get with this folder. This is ${README_NAME}.`,
  ];
  return `${lines.join('\r\n')}\r\n`;
}
