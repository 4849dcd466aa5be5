/** Ed25519 (RFC 8032) over node:crypto. Keys are key objects here; src/cli/key-file.ts reads and writes them. */
import { createHash, createPublicKey, type KeyObject, sign, verify } from 'node:crypto';
import type { OldSeal } from './old-seal.js';

/** The 64 octets that `openssl pkeyutl -sign -rawin` makes too. */
export function signBytes(bytes: Uint8Array, privateKey: KeyObject): Uint8Array {
  return sign(null, bytes, privateKey);
}

export function fitsKey(bytes: Uint8Array, signature: Uint8Array, publicKey: KeyObject): boolean {
  return signature.length === SIGNATURE_OCTETS && verify(null, bytes, publicKey, signature);
}

/** RFC 8032 §5.1.6. */
export const SIGNATURE_OCTETS = 64;

/** The key that an old seal brings along; whose key that is, nobody knows from this. Undefined where it is none for Ed25519. */
export function keyIn({ publicKey }: NonNullable<OldSeal['signature']>): KeyObject | undefined {
  try {
    const key = createPublicKey({ key: Buffer.from(publicKey, 'base64'), format: 'der', type: 'spki' });
    return key.asymmetricKeyType === 'ed25519' ? key : undefined;
  } catch {
    return undefined;
  }
}

/** SHA-256 of the SubjectPublicKeyInfo, lower-case hex: `openssl pkey -pubin -in X.public -outform DER | sha256sum`. */
export function fingerprintOf(publicKey: KeyObject): string {
  return createHash('sha256')
    .update(publicKey.export({ type: 'spki', format: 'der' }))
    .digest('hex');
}
