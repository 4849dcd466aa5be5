import { readFileSync } from 'node:fs';

/** The version that package.json states. */
export const VERSION: string = (
  JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string }
).version;
