/** Object identifiers as dotted text. */

/** Lexicographic order by number (RFC 2578 §7.10: the order of instances), negative where `a` comes first. */
export function compareOids(a: string, b: string): number {
  const left = a.split('.');
  const right = b.split('.');
  const shared = Math.min(left.length, right.length);
  for (let index = 0; index < shared; index += 1) {
    const difference = Number(left[index]) - Number(right[index]);
    if (difference !== 0) return difference;
  }
  return left.length - right.length;
}

export function isUnder(base: string, oid: string): boolean {
  return oid.length > base.length + 1 && oid.startsWith(base) && oid[base.length] === '.';
}

/** The numbers behind `base`; the caller has seen that `oid` is under it. */
export function indexOf(base: string, oid: string): readonly number[] {
  return oid
    .slice(base.length + 1)
    .split('.')
    .map(Number);
}
