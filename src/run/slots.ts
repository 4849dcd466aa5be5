/** So many places, taken in the order in which they are asked for, or in another. A place is given back once, whoever gives it back twice. */
export type Release = () => void;

/** What one who waits for a place says of itself. */
export interface Wish {
  /** How long it takes until its silence is sure. */
  readonly needMs: number;
  /** How many come before it where it asks. */
  readonly round: number;
  /** What is left for it, in milliseconds; undefined where the order plays no part. */
  leftMs(): number | undefined;
}

/** `next`: which of those who wait gets the place that became free. */
export function createSlots(
  count: number,
  next: (waiting: readonly (Wish | undefined)[]) => number = () => 0,
): { take(wish?: Wish): Promise<Release> } {
  let free = count;
  const waiting: { readonly go: (release: Release) => void; readonly wish: Wish | undefined }[] = [];
  const place = (): Release => {
    let held = true;
    return () => {
      if (!held) return;
      held = false;
      const [one] =
        waiting.length < 2 ? waiting.splice(0) : waiting.splice(next(waiting.map(({ wish }) => wish)), 1);
      if (one === undefined) free += 1;
      else one.go(place());
    };
  };
  return {
    take: (wish) => {
      if (free > 0) {
        free -= 1;
        return Promise.resolve(place());
      }
      return new Promise((go) => waiting.push({ go, wish }));
    },
  };
}
