import { readFileSync } from 'node:fs';

/** Put in by the bundler (`bin/build.js`); absent where the sources run. */
declare const MATCHMARK_VERSION: string | undefined;

/** The version that package.json states. */
export const VERSION: string =
  typeof MATCHMARK_VERSION === 'string' ? MATCHMARK_VERSION : versionIn('../../package.json');

function versionIn(file: string): string {
  const text = readFileSync(new URL(file, import.meta.url), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}
