import { expect, test } from 'vitest';
import { spansOf } from '../../src/draft/free.js';
import { smallestPrefix } from '../../src/draft/smallest.js';

// RFC 4632 §3.1: 2^(32-n) addresses less two; RFC 3021 §2.1: both of a /31.
test.each([
  ['198.51.100.0/30', 2, [], 30],
  ['198.51.100.0/30', 3, [], 29],
  ['198.51.100.4/31', 2, [], 31],
  ['198.51.100.0/30', 255, [], 23],
  // Six usable in the /29, three of them kept: the /28 it is.
  ['198.51.100.0/30', 4, [{ first: '198.51.100.1', last: '198.51.100.3' }], 28],
  ['198.51.100.0/30', 2 ** 25, [], undefined],
  // RFC 4291 §2.6.1: all addresses but the first are the hosts'.
  ['2001:db8::/126', 4, [], 125],
] as const)('%s for %i addresses', (cidr, needed, kept, bits) => {
  expect(smallestPrefix(cidr, needed, spansOf(kept))).toBe(bits);
});
