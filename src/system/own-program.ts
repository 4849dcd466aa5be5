/**
 * How this program starts itself a second time, in another part. Built by `npm run build`, each part is a file of its own; in the one
 * file that people carry there is none beside it, and the part is the first argument.
 */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Put in by the one-file bundle (`bin/release/one-file.js`): its own path, empty inside an executable, which is its own Node. */
declare const MATCHMARK_OWN_FILE: string | undefined;

export const PARTS = ['program-helper'] as const;
export type Part = (typeof PARTS)[number];

/** First argument of the one file that asks for a part of it. */
export function partWord(part: Part): string {
  return `--as-${part}`;
}

/** Arguments for `process.execPath`. Undefined where the sources run: the parts are not built. */
export function argumentsFor(part: Part): readonly string[] | undefined {
  if (typeof MATCHMARK_OWN_FILE === 'string')
    return MATCHMARK_OWN_FILE === '' ? [partWord(part)] : [MATCHMARK_OWN_FILE, partWord(part)];
  const file = fileURLToPath(new URL(`./${part}.js`, import.meta.url));
  return existsSync(file) ? [file] : undefined;
}
