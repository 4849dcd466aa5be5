import { expect, test } from 'vitest';
import { availabilityText, availabilityWords, downtimeWords } from '../../src/text/percent.js';

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
  expect(availabilityWords({ planned: 0.99999 })).toBe(
    'as planned 99.9990% (without access 5 minutes a year)',
  );
  expect(availabilityWords({ planned: 0.99999, found: 0.9991 })).toBe(
    'as planned 99.9990% (without access 5 minutes a year), as found 99.910% (8 hours a year)',
  );
});

// A year of 365.25 days: 8766 hours, 525,960 minutes.
test.each([
  [0.98, '7 days a year'],
  [0.997, '26 hours a year'],
  [0.99999, '5 minutes a year'],
  [0.999999, '32 seconds a year'],
  [1 - 1e-9, 'under a second a year'],
  [1, 'under a second a year'],
])('%d is without access %s', (value, text) => {
  expect(downtimeWords(value)).toBe(text);
});
