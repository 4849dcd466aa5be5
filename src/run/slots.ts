/** So many places, taken in the order in which they are asked for. A place is given back once, whoever gives it back twice. */
export type Release = () => void;

export function createSlots(count: number): { take(): Promise<Release> } {
  let free = count;
  const waiting: ((release: Release) => void)[] = [];
  const place = (): Release => {
    let held = true;
    return () => {
      if (!held) return;
      held = false;
      const next = waiting.shift();
      if (next === undefined) free += 1;
      else next(place());
    };
  };
  return {
    take: () => {
      if (free > 0) {
        free -= 1;
        return Promise.resolve(place());
      }
      return new Promise((resolve) => waiting.push(resolve));
    },
  };
}
