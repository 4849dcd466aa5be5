/** Bytes that arrive in chunks of any size and are taken off the front in whole records. Appending is amortised linear. */
export interface ByteQueue {
  readonly length: number;
  push(chunk: Uint8Array): void;
  /** The bytes waiting, without copying: valid until the next `push`. */
  peek(): Uint8Array;
  drop(count: number): void;
}

export function createByteQueue(): ByteQueue {
  let store = new Uint8Array(4096);
  let start = 0;
  let end = 0;
  return {
    get length() {
      return end - start;
    },
    push(chunk) {
      const waiting = end - start;
      if (end + chunk.length > store.length) {
        const roomy =
          waiting + chunk.length > store.length ? new Uint8Array((waiting + chunk.length) * 2) : store;
        roomy.set(store.subarray(start, end));
        store = roomy;
        start = 0;
        end = waiting;
      }
      store.set(chunk, end);
      end += chunk.length;
    },
    peek: () => store.subarray(start, end),
    drop(count) {
      start = Math.min(end, start + Math.max(0, count));
    },
  };
}
