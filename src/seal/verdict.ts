/** What a verification comes to, and its sentences. The terminal and the JSON say the same. */
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import type { SealDifference } from './compare.js';
import type { SignatureCheck } from './sign.js';

export interface Verification {
  readonly format: 'matchmark.verify/1';
  readonly whole: boolean;
  readonly sealedAt: string;
  readonly by?: string | undefined;
  readonly files: number;
  readonly differences: readonly SealDifference[];
  readonly signature: SignatureVerdict;
}

export interface SignatureVerdict {
  /** `own-key`: it fits, under a key that nobody asked for. */
  readonly state: 'none' | 'valid' | 'own-key' | 'other-key' | 'invalid';
  readonly fingerprint?: string | undefined;
  /** One sentence. */
  readonly says: string;
  readonly good: boolean;
}

/** `wanted`: fingerprint of the key that has to have signed; undefined where none was named. */
export function judgeSignature(
  check: SignatureCheck | undefined,
  wanted: string | undefined,
): SignatureVerdict {
  if (check === undefined)
    return wanted === undefined
      ? {
          state: 'none',
          says: 'The seal is not signed: whoever changed a file could have sealed again.',
          good: true,
        }
      : {
          state: 'none',
          says: `The seal is not signed, and a signature by key ${wanted} was asked for.`,
          good: false,
        };
  if (check.state === 'unreadable')
    return { state: 'invalid', says: `The signature cannot be checked: ${check.why}.`, good: false };
  const { fingerprint } = check;
  if (check.state === 'invalid')
    return {
      state: 'invalid',
      fingerprint,
      says: 'The signature does not fit: seal.json was changed after it was signed.',
      good: false,
    };
  if (wanted === undefined)
    return {
      state: 'own-key',
      fingerprint,
      says: `Signed by key ${fingerprint}, not checked: name the key you trust with --key.`,
      good: true,
    };
  if (wanted !== fingerprint)
    return {
      state: 'other-key',
      fingerprint,
      says: `The signature is valid, but by another key: ${fingerprint}, not ${wanted}.`,
      good: false,
    };
  return {
    state: 'valid',
    fingerprint,
    says: `Signed by the key that was named, ${fingerprint}.`,
    good: true,
  };
}

/** Each difference in one line, then what they come to. */
export function verificationText({
  differences,
  signature,
  files,
  sealedAt,
  by,
  whole,
}: Verification): string {
  const sealed = `sealed ${cleanText(sealedAt, 40)}${by === undefined ? '' : ` by ${cleanText(by, 80)}`}`;
  const lines = differences.map(
    ({ kind, path, detail }) => `${kind.padEnd(8)} ${cleanText(path, 400)}: ${cleanText(detail, 200)}`,
  );
  const verdict = whole
    ? `Whole: ${count(files, 'file')} as ${sealed}.`
    : differences.length === 0
      ? `Not proven whole: ${count(files, 'file')} as ${sealed}, but the signature is not what was asked for.`
      : `Not whole: ${count(differences.length, 'difference')} from ${count(files, 'file')} ${sealed}.`;
  return `${[...lines, signature.says, verdict].join('\n')}\n`;
}
