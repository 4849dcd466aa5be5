import { expect, test } from 'vitest';
import { availabilityText, availabilityWords } from '../../src/text/percent.js';

// Values from standards.md part 11, worked by hand there; the way of writing them is our own, no source.
test.each([
  [0.997002, '99.70%'],
  [0.999991012, '99.99910%'],
  [0.999995, '99.99950%'],
  [0.024, '2.40%'],
  [0, '0.00%'],
  [1, '100%'],
  [0.999999996, '99.99999960%'],
  [1 - 1e-13, 'over 99.999999999%'],
])('%d reads %s', (value, text) => {
  expect(availabilityText(value)).toBe(text);
});

test('nothing below 1 reads as 100 %, and a better figure never reads as a worse one', () => {
  const shown = Array.from(
    { length: 16 * 9 },
    (_, step) => 1 - (9 - (step % 9)) * 10 ** -(1 + Math.floor(step / 9)),
  )
    .filter((value) => value < 1)
    .map(availabilityText);
  expect(shown.filter((text) => text.startsWith('100'))).toEqual([]);
  const numbers = shown.map((text) => Number(text.replace(/^over |%$/g, '')));
  expect(numbers).toEqual([...numbers].sort((a, b) => a - b));
});

test('as planned, and as found only where that is known', () => {
  expect(availabilityWords({ planned: 0.99999 })).toBe('as planned 99.9990%');
  expect(availabilityWords({ planned: 0.99999, found: 0.9991 })).toBe(
    'as planned 99.9990%, as found 99.910%',
  );
});
