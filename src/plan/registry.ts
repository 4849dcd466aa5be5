/** The IEEE's registry of MAC prefixes, offline, as the package `oui-data` carries it. Bundles carry it packed (`bin/bundle.js`). */
import { createRequire } from 'node:module';

/** Prefix in upper-case hex digits (6, 7 or 9 of them) -> the name of who registered it. */
export type Registry = ReadonlyMap<string, string>;

export function loadRegistry(): Registry {
  const load = createRequire(import.meta.url);
  const data: unknown = load('oui-data');
  if (typeof data !== 'object' || data === null) return new Map();
  return new Map(
    Object.entries(data as Record<string, string>).map(([prefix, entry]) => [
      prefix,
      entry.split('\n', 1)[0] ?? '',
    ]),
  );
}
