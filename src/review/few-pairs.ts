/** So many others are named beside each. */
const NAMED = 3;

/**
 * Which pairs of things that must not be together are told: of each the first three, and nothing is left unnamed. A plan in which
 * thousands are wrong in one way would else be told in millions of sentences.
 */
export function fewPairs<T>(): (first: T, second: T) => boolean {
  const told = new Map<T, number>();
  return (first, second) => {
    const before = told.get(first) ?? 0;
    if (before >= NAMED && told.has(second)) return false;
    told.set(first, before + 1);
    if (!told.has(second)) told.set(second, 0);
    return true;
  };
}
