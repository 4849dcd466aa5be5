import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { globMatches } from '../../src/identity/glob.js';
import { workMs } from '../support/work.js';

describe('identity patterns', () => {
  it.each([
    ['vault-1*', 'VAULT-1-a', true, 'case plays no part'],
    ['vault-1', 'vault-10', false, 'no star, no more text'],
    ['*', '', true, 'a star may be empty'],
    ['a*a', 'a', false, 'head and tail do not overlap'],
    ['a*b*c', 'a-b-c', true, 'several stars'],
    ['a*b*c', 'a-c-b', false, 'in order'],
    ['*-a', 'vault-1-a', true, 'star in front'],
    ['a.c', 'abc', false, 'a dot is a dot'],
    [' vault-1 ', 'vault-1', true, 'outer blanks play no part'],
  ])('%s and "%s": %s (%s)', (pattern, text, expected) => {
    expect(globMatches(pattern, text)).toBe(expected);
  });

  it('agrees with a regular expression made of the same pattern', () => {
    const piece = fc.string({ unit: fc.constantFrom('a', 'b', '*'), maxLength: 8 });
    const subject = fc.string({ unit: fc.constantFrom('a', 'b'), maxLength: 10 });
    fc.assert(
      fc.property(piece, subject, (pattern, text) => {
        const expected = new RegExp(`^${pattern.split('*').join('.*')}$`, 's').test(text);
        return globMatches(pattern, text) === expected;
      }),
    );
  });

  it('stays quick on a pattern of many stars', () => {
    const started = workMs();
    expect(globMatches('*a'.repeat(5_000), 'a'.repeat(100_000).concat('b'))).toBe(false);
    expect(workMs() - started).toBeLessThan(2_000);
  });
});
