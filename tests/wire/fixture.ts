import { readFileSync } from 'node:fs';

export function fixtureText(path: string): string {
  return readFileSync(new URL(`../../fixtures/${path}`, import.meta.url), 'utf8');
}

/** Value of a decoder that must have succeeded. */
export function mustDecode<T>(result: { ok: true; value: T } | { ok: false; detail: string; at: number }): T {
  if (!result.ok) throw new Error(`refused at ${result.at}: ${result.detail}`);
  return result.value;
}
