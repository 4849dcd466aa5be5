import { PassThrough } from 'node:stream';
import { expect, it } from 'vitest';
import { type Key, watchKeys } from '../../src/cli/keys.js';

async function pressed(...texts: string[]): Promise<Key[]> {
  const input = new PassThrough() as unknown as Parameters<typeof watchKeys>[0] & PassThrough;
  const keys: Key[] = [];
  const stop = watchKeys(input, (key) => keys.push(key));
  for (const text of texts) input.write(text);
  await new Promise((resolve) => setImmediate(resolve));
  stop();
  input.write('q\n');
  await new Promise((resolve) => setImmediate(resolve));
  return keys;
}

it('takes q as a key and as a line, Ctrl-C as what raw mode makes of it, and nothing after it was stopped', async () => {
  expect(await pressed('q')).toEqual(['quit']);
  expect(await pressed('Q\r\n')).toEqual(['quit']);
  expect(await pressed('x', 'quit\n')).toEqual(['quit']);
  expect(await pressed('\u0003')).toEqual(['interrupt']);
  expect(await pressed('enquire\n', '\n')).toEqual([]);
});
