import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareOids, indexOf, isUnder } from '../../src/snmp/oid.js';

describe('compareOids', () => {
  // RFC 2578 §7.10 and RFC 3416 §4.2.2: by number, shorter first.
  it.each([
    ['1.3.6.1.9', '1.3.6.1.10', -1],
    ['1.3.6.1', '1.3.6.1.0', -1],
    ['1.3.6.2', '1.3.6.1.99', 1],
    ['1.3.6.1', '1.3.6.1', 0],
  ])('%s and %s', (a, b, sign) => {
    expect(Math.sign(compareOids(a, b))).toBe(sign);
  });

  it('is an order', () => {
    const oid = fc.array(fc.nat(300), { minLength: 1, maxLength: 8 }).map((numbers) => numbers.join('.'));
    fc.assert(
      fc.property(oid, oid, oid, (a, b, c) => {
        expect(Math.sign(compareOids(a, b))).toBe(-Math.sign(compareOids(b, a)) + 0);
        if (compareOids(a, b) <= 0 && compareOids(b, c) <= 0)
          expect(compareOids(a, c)).toBeLessThanOrEqual(0);
      }),
    );
  });
});

describe('isUnder and indexOf', () => {
  it('takes whole numbers only', () => {
    expect(isUnder('1.3.6.1', '1.3.6.1.5')).toBe(true);
    expect(isUnder('1.3.6.1', '1.3.6.10.5')).toBe(false);
    expect(isUnder('1.3.6.1', '1.3.6.1')).toBe(false);
    expect(indexOf('1.3.6.1', '1.3.6.1.5.0.94')).toEqual([5, 0, 94]);
  });
});
