/** What a signature comes to: whether it fits, under whose key, and the sentence for that. */
import type { KeyObject } from 'node:crypto';
import { SIGNATURE_NAME, SUMS_NAME } from './manifest.js';
import type { OldSeal } from './old-seal.js';
import { fingerprintOf, fitsKey, keyIn } from './sign.js';

export interface SignatureVerdict {
  /** `not-checked`: there is one, and no key was named. `other-key`: an old seal's own key is not the one that was named. */
  readonly state: 'none' | 'valid' | 'not-checked' | 'other-key' | 'invalid';
  /** Of the key that it fits. */
  readonly fingerprint?: string | undefined;
  /** One sentence or two. */
  readonly says: string;
  readonly good: boolean;
}

/** `signature`: what stands in SHA256SUMS.sig, undefined where there is none. `wanted`: the key that has to have signed. */
export function judgeSignature(
  signed: Uint8Array,
  signature: Uint8Array | undefined,
  wanted: KeyObject | undefined,
): SignatureVerdict {
  if (signature === undefined) return unsigned(wanted);
  if (wanted === undefined) return { state: 'not-checked', says: NOT_CHECKED, good: true };
  const fingerprint = fingerprintOf(wanted);
  if (fitsKey(signed, signature, wanted))
    return {
      state: 'valid',
      fingerprint,
      says: `Signed by the key that was named, ${fingerprint}.`,
      good: true,
    };
  return {
    state: 'invalid',
    says:
      `${SIGNATURE_NAME} does not fit the key that was named, ${fingerprint}: ` +
      `${SUMS_NAME} was changed after it was signed, or another key signed it.`,
    good: false,
  };
}

/** The same for a seal.json, which brings its own key along: that it fits under that key says that nobody changed it by accident. */
export function judgeOldSignature(
  signed: Uint8Array,
  signature: OldSeal['signature'],
  wanted: KeyObject | undefined,
): SignatureVerdict {
  if (signature === undefined) return unsigned(wanted);
  const key = keyIn(signature);
  if (key === undefined)
    return {
      state: 'invalid',
      says: 'The signature cannot be checked: its public key is none for Ed25519.',
      good: false,
    };
  const fingerprint = fingerprintOf(key);
  if (!fitsKey(signed, Buffer.from(signature.value, 'base64'), key))
    return {
      state: 'invalid',
      fingerprint,
      says: 'The signature does not fit: seal.json was changed after it was signed.',
      good: false,
    };
  if (wanted === undefined)
    return {
      state: 'not-checked',
      fingerprint,
      says: `Signed by key ${fingerprint}. ${NOT_CHECKED}`,
      good: true,
    };
  const asked = fingerprintOf(wanted);
  return asked === fingerprint
    ? { state: 'valid', fingerprint, says: `Signed by the key that was named, ${fingerprint}.`, good: true }
    : {
        state: 'other-key',
        fingerprint,
        says: `The signature is valid, but by another key: ${fingerprint}, not ${asked}.`,
        good: false,
      };
}

const NOT_CHECKED =
  'The signature was not checked: name the public key you trust with --key. Until then this proves wholeness only.';

/** Said when sealing too. */
export const WHOLENESS_ONLY =
  'Not signed. This proves wholeness only: whoever changes a file can write new digests.';

function unsigned(wanted: KeyObject | undefined): SignatureVerdict {
  return wanted === undefined
    ? { state: 'none', says: WHOLENESS_ONLY, good: true }
    : {
        state: 'none',
        says: `The seal is not signed, and a signature by key ${fingerprintOf(wanted)} was asked for.`,
        good: false,
      };
}
