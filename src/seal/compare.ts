/** A seal held against what lies in the folder now. */
import { asideReason } from './aside.js';
import { byPath, type SealedFile } from './manifest.js';
import { foldName } from './spelling.js';

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

/** Whole, but under another spelling of its name. */
export interface Respelt {
  readonly path: string;
  readonly now: string;
}

export interface SealComparison {
  /** In the order of the paths; empty where the folder is whole. */
  readonly differences: readonly SealDifference[];
  /** Files that come and go by themselves. No fault. */
  readonly aside: readonly Oddity[];
  /** No fault: another system spells the name otherwise. */
  readonly respelt: readonly Respelt[];
}

/** `own`: paths of the seal itself, which it does not list. */
export function compareSeal(
  sealed: readonly SealedFile[],
  found: readonly SealedFile[],
  oddities: readonly Oddity[],
  own: ReadonlySet<string> = new Set(),
): SealComparison {
  const now = new Map(found.map((file) => [file.path, file]));
  const odd = new Map(oddities.map(({ path, why }) => [path, why]));
  const known = new Set(sealed.map(({ path }) => path));
  const unlisted = found.filter(({ path }) => !known.has(path));
  const others = new OtherSpellings(
    sealed.filter(({ path }) => !now.has(path)),
    unlisted,
  );
  const differences: SealDifference[] = [];
  const respelt: Respelt[] = [];
  for (const { path, size, sha256 } of sealed) {
    const other = others.of(path);
    if (other !== undefined) respelt.push({ path, now: other.path });
    const file = now.get(path) ?? other;
    const why = odd.get(path) ?? oddParent(path, odd);
    if (file?.sha256 === sha256 && (size === undefined || size === file.size)) continue;
    // Sealed by an earlier version, and changed by the system since.
    if (asideReason(path) !== undefined) continue;
    if (file === undefined && why !== undefined) differences.push({ path, kind: 'unproven', detail: why });
    else if (file === undefined)
      differences.push({ path, kind: 'missing', detail: 'it was sealed and is not there' });
    else differences.push({ path, kind: 'changed', detail: changeOf(size, file.size) });
  }
  const aside: Oddity[] = [];
  for (const { path } of unlisted) {
    const why = asideReason(path);
    if (why !== undefined) aside.push({ path, why });
    else if (!own.has(path) && !others.taken.has(path))
      differences.push({ path, kind: 'added', detail: 'it was not there when sealed' });
  }
  for (const { path, why } of oddities)
    if (!known.has(path)) differences.push({ path, kind: 'added', detail: `it ${why}` });
  return { differences: differences.sort(byPath), aside: aside.sort(byPath), respelt: respelt.sort(byPath) };
}

function changeOf(sealedOctets: number | undefined, octets: number | undefined): string {
  if (sealedOctets === undefined || octets === undefined) return 'its content is not what was sealed';
  return sealedOctets === octets
    ? 'as long as it was, and other content'
    : `${sealedOctets} octets when sealed, ${octets} now`;
}

/** Pairs a sealed file that is gone with one that came under another spelling, where only one of each could be meant. */
class OtherSpellings {
  /** Paths now that were paired. */
  readonly taken = new Set<string>();
  readonly #byPath = new Map<string, SealedFile>();

  constructor(gone: readonly SealedFile[], came: readonly SealedFile[]) {
    const goneBy = grouped(gone);
    for (const [name, files] of grouped(came)) {
      const [wanted, second] = goneBy.get(name) ?? [];
      const [file, third] = files;
      if (wanted === undefined || second !== undefined || file === undefined || third !== undefined) continue;
      this.#byPath.set(wanted.path, file);
      this.taken.add(file.path);
    }
  }

  of(path: string): SealedFile | undefined {
    return this.#byPath.get(path);
  }
}

function grouped(files: readonly SealedFile[]): Map<string, SealedFile[]> {
  const groups = new Map<string, SealedFile[]>();
  for (const file of files) {
    const name = foldName(file.path);
    const group = groups.get(name);
    if (group === undefined) groups.set(name, [file]);
    else group.push(file);
  }
  return groups;
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
