import fc from 'fast-check';
import { expect, it } from 'vitest';
import { createByteQueue } from '../../src/wire/byte-queue.js';
import { workMs } from '../support/work.js';

it('gives back in order what was pushed, whatever the sizes of pushes and drops', () => {
  const step = fc.tuple(fc.uint8Array({ maxLength: 6000 }), fc.nat(7000));
  fc.assert(
    fc.property(fc.array(step, { maxLength: 20 }), (steps) => {
      const queue = createByteQueue();
      let model = Buffer.alloc(0);
      for (const [chunk, drop] of steps) {
        queue.push(chunk);
        model = Buffer.concat([model, chunk]);
        expect(queue.length).toBe(model.length);
        expect(Buffer.from(queue.peek()).equals(model)).toBe(true);
        queue.drop(drop);
        model = model.subarray(Math.min(drop, model.length));
      }
    }),
    { numRuns: 50 },
  );
});

it('takes a megabyte in single octets in linear time', () => {
  const queue = createByteQueue();
  const startedAt = workMs();
  for (let count = 0; count < 1_000_000; count += 1) queue.push(Uint8Array.of(count & 0xff));
  expect(queue.length).toBe(1_000_000);
  // Quadratic copying would take hours.
  expect(workMs() - startedAt).toBeLessThan(10_000);
});
