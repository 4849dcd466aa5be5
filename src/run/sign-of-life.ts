/** Is somebody there at all? Every first look at an address may show it; the longer looks wait for that. */
export interface SignOfLife {
  known(): boolean;
  /** Known beforehand: somebody on our link claims the address. */
  readonly claimed: boolean;
  /** Something answered. */
  shown(): void;
  /** One first look has ended. */
  looked(): void;
  /** True as soon as anything answered; false once every first look has ended without an answer. */
  readonly there: Promise<boolean>;
}

export function createSignOfLife(alreadyKnown: boolean, firstLooks: number): SignOfLife {
  let known = alreadyKnown;
  let left = firstLooks;
  let settle: (there: boolean) => void = () => {};
  const there = new Promise<boolean>((resolve) => {
    settle = resolve;
  });
  if (known || left === 0) settle(known);
  return {
    known: () => known,
    claimed: alreadyKnown,
    shown: () => {
      known = true;
      settle(true);
    },
    looked: () => {
      left -= 1;
      if (left === 0) settle(known);
    },
    there,
  };
}
