/** seal.json, format `matchmark.seal/1`: every file below a folder with its SHA-256, and who signed for that. Types and limits. */
import { canonicalJson } from './canonical.js';

export const SEAL_FORMAT = 'matchmark.seal/1';
export const SEAL_NAME = 'seal.json';

/** Files that one seal may list. A handover has tens; more than this is the wrong folder, or a seal made to choke its reader. */
export const MOST_FILES = 100_000;
/** Octets of a seal.json that are read: MOST_FILES rows of some 600. */
export const LARGEST_SEAL_BYTES = 64 * 1024 * 1024;

export interface SealedFile {
  /** Below the sealed folder, parts joined by `/` on every system. */
  readonly path: string;
  /** Octets. */
  readonly size: number;
  /** Lower-case hex. */
  readonly sha256: string;
}

export interface Manifest {
  readonly format: typeof SEAL_FORMAT;
  readonly sealedAt: string;
  readonly by?: string | undefined;
  /** Of the program. */
  readonly version: string;
  readonly files: readonly SealedFile[];
}

/** Over the canonical bytes of everything in the seal but this. */
export interface SealSignature {
  readonly algorithm: 'Ed25519';
  /** SubjectPublicKeyInfo (RFC 8410 §4), DER in Base64. */
  readonly publicKey: string;
  /** Base64. */
  readonly value: string;
}

export interface Seal extends Manifest {
  readonly signature?: SealSignature | undefined;
}

export function manifestOf(
  files: readonly SealedFile[],
  facts: { readonly sealedAt: string; readonly by?: string | undefined; readonly version: string },
): Manifest {
  const { sealedAt, by, version } = facts;
  return {
    format: SEAL_FORMAT,
    sealedAt,
    ...(by === undefined ? {} : { by }),
    version,
    files: [...files].sort((a, b) => (a.path < b.path ? -1 : a.path > b.path ? 1 : 0)),
  };
}

/** What a signature covers: `jq -cjS 'del(.signature)' seal.json` gives the same octets. */
export function signedBytes(seal: object): Uint8Array {
  return new TextEncoder().encode(canonicalJson({ ...seal, signature: undefined }));
}
