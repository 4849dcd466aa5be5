/**
 * seal.json, format `matchmark.seal/1`, as versions before 0.2 wrote it: digests and signature in one file. Read only; nothing in
 * it is believed before it is checked.
 */
import { z } from 'zod';
import { MatchmarkError } from '../errors.js';
import { cleanText } from '../text/clean.js';
import { canonicalJson } from './canonical.js';
import { pathFault } from './file-path.js';
import { MOST_FILES } from './manifest.js';

export const OLD_SEAL_NAME = 'seal.json';

const text = z.string().max(1_000);
/** Loose: keys that a later version adds are kept, and covered by the signature. */
const sealSchema = z.looseObject({
  format: z.literal('matchmark.seal/1'),
  sealedAt: text,
  by: text.optional(),
  version: text,
  files: z
    .array(
      z.looseObject({
        path: z.string(),
        size: z.int().nonnegative(),
        sha256: z.string().regex(/^[0-9a-f]{64}$/, 'no SHA-256 in lower-case hex'),
      }),
    )
    .min(1)
    .max(MOST_FILES),
  /** Over the canonical octets of everything else: the key as SubjectPublicKeyInfo (RFC 8410 §4) and the signature, both in Base64. */
  signature: z.looseObject({ algorithm: z.literal('Ed25519'), publicKey: text, value: text }).optional(),
});

export type OldSeal = z.infer<typeof sealSchema>;

const NEXT = 'Name the folder that "matchmark seal" sealed, with the seal.json it wrote.';

export interface ReadOldSeal {
  readonly seal: OldSeal;
  /** What its signature has to fit. */
  readonly signed: Uint8Array;
}

/** Throws MatchmarkError `result-invalid` naming the first thing that is wrong. `name` is for the message. */
export function readOldSeal(content: string, name: string): ReadOldSeal {
  const refuse = (what: string, cause?: unknown): MatchmarkError =>
    new MatchmarkError('result-invalid', `${cleanText(name)} is no seal to rely on: ${what}`, {
      cause,
      next: NEXT,
    });
  let value: unknown;
  try {
    value = JSON.parse(content);
  } catch (cause) {
    throw refuse('it is not JSON', cause);
  }
  const parsed = sealSchema.safeParse(value);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const place = issue === undefined || issue.path.length === 0 ? '' : `at ${issue.path.join('.')}: `;
    throw refuse(cleanText(`${place}${issue?.message ?? 'wrong shape'}`));
  }
  const seen = new Set<string>();
  for (const { path } of parsed.data.files) {
    const fault = pathFault(path);
    if (fault !== undefined) throw refuse(`it lists "${cleanText(path, 120)}", and ${fault}`);
    if (seen.has(path)) throw refuse(`it lists "${cleanText(path, 120)}" twice`);
    seen.add(path);
  }
  try {
    // As it was read, so that no key escapes the signature.
    const signed = new TextEncoder().encode(canonicalJson({ ...(value as object), signature: undefined }));
    return { seal: parsed.data, signed };
  } catch (cause) {
    throw refuse('it is nested too deep', cause);
  }
}
