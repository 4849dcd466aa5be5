import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** A file of fixtures/os-output; route-README.md there says where each comes from. */
export function osOutput(name: string): string {
  return readFileSync(fileURLToPath(new URL(`../../fixtures/os-output/${name}`, import.meta.url)), 'utf8');
}
