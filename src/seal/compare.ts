/** A seal held against what lies in the folder now. */
import type { SealedFile } from './manifest.js';

/** What is at a path that can not be hashed: a link, a device, a file that cannot be read. */
export interface Oddity {
  readonly path: string;
  /** "is a symbolic link", "cannot be read: permission denied". */
  readonly why: string;
}

export interface SealDifference {
  readonly path: string;
  readonly kind: 'changed' | 'missing' | 'added' | 'unproven';
  readonly detail: string;
}

/** In the order of the paths; empty where the folder is whole. */
export function compareSeal(
  sealed: readonly SealedFile[],
  found: readonly SealedFile[],
  oddities: readonly Oddity[],
): SealDifference[] {
  const now = new Map(found.map((file) => [file.path, file]));
  const odd = new Map(oddities.map(({ path, why }) => [path, why]));
  const known = new Set(sealed.map(({ path }) => path));
  const differences: SealDifference[] = [];
  for (const { path, size, sha256 } of sealed) {
    const file = now.get(path);
    const why = odd.get(path) ?? oddParent(path, odd);
    if (file === undefined && why !== undefined) differences.push({ path, kind: 'unproven', detail: why });
    else if (file === undefined)
      differences.push({ path, kind: 'missing', detail: 'it was sealed and is not there' });
    else if (file.size !== size)
      differences.push({ path, kind: 'changed', detail: `${size} octets when sealed, ${file.size} now` });
    else if (file.sha256 !== sha256)
      differences.push({ path, kind: 'changed', detail: 'as long as it was, and other content' });
  }
  for (const { path } of found)
    if (!known.has(path)) differences.push({ path, kind: 'added', detail: 'it was not there when sealed' });
  for (const { path, why } of oddities)
    if (!known.has(path)) differences.push({ path, kind: 'added', detail: `it ${why}` });
  return differences.sort((a, b) => (a.path < b.path ? -1 : a.path > b.path ? 1 : 0));
}

/** The folder a file lies in may be what cannot be read. */
function oddParent(path: string, odd: ReadonlyMap<string, string>): string | undefined {
  for (let at = path.lastIndexOf('/'); at > 0; at = path.lastIndexOf('/', at - 1)) {
    const folder = path.slice(0, at);
    const why = odd.get(folder);
    if (why !== undefined) return `its folder ${why}`;
  }
  return undefined;
}
