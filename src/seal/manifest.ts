/** What a seal is about: every file below a folder with its SHA-256. Names and limits. */

/** The digests, in the form that `sha256sum -c` reads. */
export const SUMS_NAME = 'SHA256SUMS';
/** 64 octets: Ed25519 (RFC 8032 §5.1.6) over exactly the octets of SHA256SUMS. */
export const SIGNATURE_NAME = `${SUMS_NAME}.sig`;
/** How to verify without this program. It is sealed like any other file. */
export const README_NAME = 'README-SEAL.txt';

/** Files that one seal may list. A handover has tens; more than this is the wrong folder, or a seal made to choke its reader. */
export const MOST_FILES = 100_000;
/** Octets of a seal that are read: MOST_FILES rows of some 600. */
export const LARGEST_SEAL_BYTES = 64 * 1024 * 1024;

export interface SealedFile {
  /** Below the sealed folder, parts joined by `/` on every system. */
  readonly path: string;
  /** Octets; SHA256SUMS does not say. */
  readonly size?: number | undefined;
  /** Lower-case hex. */
  readonly sha256: string;
}

/** By code units, so that every machine writes the same order. */
export function byPath(a: { readonly path: string }, b: { readonly path: string }): number {
  return a.path < b.path ? -1 : a.path > b.path ? 1 : 0;
}
