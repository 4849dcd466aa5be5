/** Ed25519 (RFC 8032) over node:crypto. Keys are key objects here; src/cli/key-file.ts reads and writes them. */
import { createHash, createPublicKey, type KeyObject, sign, verify } from 'node:crypto';
import type { SealSignature } from './manifest.js';

export function signBytes(bytes: Uint8Array, privateKey: KeyObject): SealSignature {
  return {
    algorithm: 'Ed25519',
    publicKey: derOf(createPublicKey(privateKey)).toString('base64'),
    value: sign(null, bytes, privateKey).toString('base64'),
  };
}

export type SignatureCheck =
  /** `fingerprint` of the key that the seal says it is signed by. */
  | { readonly state: 'valid' | 'invalid'; readonly fingerprint: string }
  | { readonly state: 'unreadable'; readonly why: string };

/** Whether a signature fits the bytes under the key that it brings along; whose key that is, nobody knows from this. */
export function checkSignature(bytes: Uint8Array, signature: SealSignature): SignatureCheck {
  const key = keyIn(signature);
  if (key === undefined) return { state: 'unreadable', why: 'its public key is none for Ed25519' };
  const value = Buffer.from(signature.value, 'base64');
  return {
    state: value.length === SIGNATURE_OCTETS && verify(null, bytes, key, value) ? 'valid' : 'invalid',
    fingerprint: fingerprintOf(key),
  };
}

/** RFC 8032 §5.1.6. */
const SIGNATURE_OCTETS = 64;

/** SHA-256 of the SubjectPublicKeyInfo, lower-case hex: `openssl pkey -pubin -in FILE.pub -outform DER | sha256sum`. */
export function fingerprintOf(publicKey: KeyObject): string {
  return createHash('sha256').update(derOf(publicKey)).digest('hex');
}

function derOf(publicKey: KeyObject): Buffer {
  return publicKey.export({ type: 'spki', format: 'der' });
}

function keyIn({ publicKey }: SealSignature): KeyObject | undefined {
  try {
    const key = createPublicKey({ key: Buffer.from(publicKey, 'base64'), format: 'der', type: 'spki' });
    return key.asymmetricKeyType === 'ed25519' ? key : undefined;
  } catch {
    return undefined;
  }
}
