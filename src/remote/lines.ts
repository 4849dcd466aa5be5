/** Bytes of a stream as lines, bounded in both: what another place sends is not trusted to end. */

export interface LineBounds {
  readonly lineBytes: number;
  readonly totalBytes: number;
}

export class TooMuch extends Error {}

/** Throws TooMuch where a bound is passed. A last line without an end is given, too. */
export async function* linesOf(
  stream: AsyncIterable<Uint8Array>,
  { lineBytes, totalBytes }: LineBounds,
): AsyncGenerator<string> {
  let parts: Uint8Array[] = [];
  let held = 0;
  let total = 0;
  const take = (): string => {
    const line = Buffer.concat(parts).toString('utf8');
    parts = [];
    held = 0;
    return line.endsWith('\r') ? line.slice(0, -1) : line;
  };
  for await (const chunk of stream) {
    total += chunk.length;
    if (total > totalBytes) throw new TooMuch();
    let from = 0;
    for (let end = chunk.indexOf(0x0a); end >= 0; end = chunk.indexOf(0x0a, from)) {
      parts.push(chunk.subarray(from, end));
      yield take();
      from = end + 1;
    }
    parts.push(chunk.subarray(from));
    held += chunk.length - from;
    if (held > lineBytes) throw new TooMuch();
  }
  if (held > 0) yield take();
}
