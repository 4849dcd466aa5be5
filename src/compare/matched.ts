import { naturalOrder } from '../text/sentence.js';

export interface Matched<Item> {
  readonly both: readonly (readonly [Item, Item])[];
  readonly added: readonly Item[];
  readonly gone: readonly Item[];
}

/** By name, in the order that a person would sort names. */
export function matched<Item>(
  before: readonly Item[],
  now: readonly Item[],
  nameOf: (item: Item) => string,
): Matched<Item> {
  const old = new Map(before.map((item) => [nameOf(item), item]));
  const fresh = new Map(now.map((item) => [nameOf(item), item]));
  const sorted = (items: readonly Item[]) => [...items].sort((a, b) => naturalOrder(nameOf(a), nameOf(b)));
  return {
    both: sorted([...fresh.values()]).flatMap((item) => {
      const was = old.get(nameOf(item));
      return was === undefined ? [] : [[was, item] as const];
    }),
    added: sorted([...fresh.values()].filter((item) => !old.has(nameOf(item)))),
    gone: sorted([...old.values()].filter((item) => !fresh.has(nameOf(item)))),
  };
}
