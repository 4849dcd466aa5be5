import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linesOf, TooMuch } from '../../src/remote/lines.js';

async function* chunks(parts: readonly Uint8Array[]): AsyncGenerator<Uint8Array> {
  yield* parts;
}
async function read(parts: readonly Uint8Array[], lineBytes = 1000, totalBytes = 10_000): Promise<string[]> {
  const lines: string[] = [];
  for await (const line of linesOf(chunks(parts), { lineBytes, totalBytes })) lines.push(line);
  return lines;
}
const bytes = (text: string) => new TextEncoder().encode(text);

describe('linesOf', () => {
  it('gives the same lines wherever the bytes are cut', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.string({ unit: fc.constantFrom('a', 'ü', ' ', '{') }), { maxLength: 8 }),
        fc.array(fc.integer({ min: 1, max: 20 }), { maxLength: 20 }),
        async (lines, cuts) => {
          const all = bytes(lines.map((line) => `${line}\n`).join(''));
          const parts: Uint8Array[] = [];
          let from = 0;
          for (const cut of cuts) {
            parts.push(all.subarray(from, from + cut));
            from += cut;
          }
          parts.push(all.subarray(from));
          expect(await read(parts)).toEqual(lines);
        },
      ),
    );
  });

  it('takes the end of a Windows line off, and gives a last line without an end', async () => {
    expect(await read([bytes('a\r\nb')])).toEqual(['a', 'b']);
  });

  it('ends where a line or all of it is longer than is read', async () => {
    await expect(read([bytes('a'.repeat(1001))])).rejects.toThrow(TooMuch);
    await expect(read([bytes('a\n'.repeat(6000))])).rejects.toThrow(TooMuch);
  });
});
