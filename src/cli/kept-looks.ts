/** What `follow` has seen so far, in the folder while it goes on: whatever ends the process, the latest look stands there. */
import type { Sleep } from '../run/pace.js';

export interface KeptLooks<T> {
  /** Written as soon as it may be; the same again is written once. Of several that wait the newest alone. */
  look(seen: T): void;
  /** No more is written; resolves when nothing is under way. */
  end(): Promise<void>;
}

export interface KeepingWorld<T> {
  /** Whole or not at all. */
  readonly write: (seen: T) => Promise<unknown>;
  /** The first time that it could not be written; later ones are tried all the same. */
  readonly onFault: (error: unknown) => void;
  /** Milliseconds of a clock that nobody sets. */
  readonly now: () => number;
  readonly sleep: Sleep;
}

/** So many times what the writing took is rested after it: it costs a twentieth of the time at most. */
const REST_FOR_WRITING = 20;
/** The oldest that what stands in the folder may be beside this rest, however long writing takes. */
const LONGEST_REST_MS = 60_000;

export function keepLooks<T>({ write, onFault, now, sleep }: KeepingWorld<T>): KeptLooks<T> {
  const over = new AbortController();
  let waiting: { readonly seen: T } | undefined;
  let last: T | undefined;
  let work: Promise<void> | undefined;
  let faultTold = false;
  const writeAll = async (): Promise<void> => {
    while (waiting !== undefined && !over.signal.aborted) {
      const { seen } = waiting;
      waiting = undefined;
      const fromMs = now();
      try {
        await write(seen);
      } catch (error) {
        if (!faultTold) onFault(error);
        faultTold = true;
      }
      await sleep(Math.min(REST_FOR_WRITING * (now() - fromMs), LONGEST_REST_MS), over.signal);
    }
    work = undefined;
  };
  return {
    look(seen) {
      if (seen === last) return;
      last = seen;
      waiting = { seen };
      work ??= writeAll();
    },
    async end() {
      over.abort();
      await work;
    },
  };
}
