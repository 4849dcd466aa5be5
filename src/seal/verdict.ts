/** What a verification comes to, and its sentences. The terminal and the JSON say the same. */
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import type { SealComparison } from './compare.js';
import type { SignatureVerdict } from './signature.js';

export interface Verification extends SealComparison {
  readonly format: 'matchmark.verify/1';
  readonly whole: boolean;
  /** Name of the seal that the folder was held against. */
  readonly seal: string;
  /** A seal.json says when and by whom; beside a SHA256SUMS that stands in README-SEAL.txt. */
  readonly sealedAt?: string | undefined;
  readonly by?: string | undefined;
  readonly files: number;
  readonly signature: SignatureVerdict;
}

/** Each difference in one line, what was left aside, then what they come to. */
export function verificationText(verification: Verification): string {
  const { differences, aside, respelt, signature, files, whole } = verification;
  const sealed = sealedWords(verification);
  const lines = [
    ...differences.map(({ kind, path, detail }) => line(kind, path, detail)),
    ...respelt.map(({ path, now }) => line('respelt', path, `now called ${cleanText(now, 400)}; no fault`)),
    ...aside.map(({ path, why }) => line('aside', path, `${why}; no part of the seal, no fault`)),
  ];
  const verdict = whole
    ? `Whole: ${count(files, 'file')} as ${sealed}.`
    : differences.length === 0
      ? `Not proven whole: ${count(files, 'file')} as ${sealed}, but the signature is not what was asked for.`
      : `Not whole: ${count(differences.length, 'difference')} from ${count(files, 'file')} ${sealed}.`;
  return `${[...lines, signature.says, verdict].join('\n')}\n`;
}

function line(kind: string, path: string, detail: string): string {
  return `${kind.padEnd(8)} ${cleanText(path, 400)}: ${cleanText(detail, 500)}`;
}

function sealedWords({ sealedAt, by }: Verification): string {
  const at = sealedAt === undefined ? '' : ` ${cleanText(sealedAt, 40)}`;
  return `sealed${at}${by === undefined ? '' : ` by ${cleanText(by, 80)}`}`;
}
