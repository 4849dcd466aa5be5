import { expect, test } from 'vitest';
import { amountWords, safeAmount } from '../../src/text/amount.js';

// A /64 of IPv6 has 2^64 addresses (RFC 4291 §2.5.1).
test('an IPv6 network does not show the largest number that a computer keeps', () => {
  expect(amountWords(safeAmount(2n ** 64n))).toBe('billions');
  expect(amountWords(safeAmount(-1n))).toBe('0');
  expect(amountWords(2 ** 24)).toBe('16777216');
});
