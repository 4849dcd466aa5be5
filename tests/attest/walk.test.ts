import fc from 'fast-check';
import { expect, it } from 'vitest';
import { openItems } from '../../src/attest/open-items.js';
import { WALK_HELP, walkSummary, walkThrough } from '../../src/attest/walk.js';
import { aRunToLookAt } from './run.js';

const LOOKS = openItems(aRunToLookAt());
/** What was recorded after these lines, as `item: saw [agrees]`. */
const after = (...lines: string[]): string[] => {
  const walk = walkThrough(LOOKS);
  for (const line of lines) walk.answer(line);
  return walk
    .answers()
    .map(({ look, saw, agrees }) => `${look.item}: ${saw}${agrees === undefined ? '' : ` ${agrees}`}`);
};

it('asks with the place in the visit and the words that are expected; Enter takes them', () => {
  const walk = walkThrough(LOOKS);
  expect(walk.question()).toBe('[1/6] racked vault-1: rails\n  expected: latched: ');
  expect(walk.answer('')).toBeUndefined();
  expect(walk.question()).toContain('[2/6] cabled vault-1/A/data0: switch port');
  expect(walk.answers()).toMatchObject([{ saw: 'latched' }]);
  expect(walk.answer('?')).toBe(WALK_HELP);
});

it('takes other words of the same meaning, and says where what was seen is another thing', () => {
  expect(after('', '', 'solid green')).toEqual([
    'rails: latched',
    'switch port: loft-1 port 11',
    'power lamp: solid green',
  ]);
  const walk = walkThrough(LOOKS.slice(2));
  expect(walk.answer('amber')).toContain('That is not what was planned ("steady green"): it is recorded so.');
  expect(walkSummary(LOOKS.slice(2), walk.answers())).toBe(
    '1 thing recorded, 1 not as planned, 3 left open.',
  );
});

it('asks the person where words cannot tell, and guesses nothing', () => {
  const walk = walkThrough(LOOKS.slice(2));
  expect(walk.answer('lit')).toBeUndefined();
  expect(walk.question()).toBe('  Is "lit" what was planned ("steady green")? y, n, or b to look again: ');
  expect(walk.answers()).toEqual([]);
  expect(walk.answer('perhaps')).toBe('Say y, n, or b to look again.');
  walk.answer('b');
  expect(walk.question()).toContain('power lamp');
  walk.answer('lit');
  walk.answer('y');
  expect(walk.answers()).toMatchObject([{ saw: 'lit', agrees: true }]);
  expect(after('s', 's', 'dim', 'n')).toEqual(['power lamp: dim false']);
});

it('skips, goes back, and ends when told to, with what was said', () => {
  expect(after('s', '', 'b', 'b', 'latched', 'q', 'never read')).toEqual([
    'rails: latched',
    'switch port: loft-1 port 11',
  ]);
  const walk = walkThrough(LOOKS);
  expect(walk.answer('b')).toBe('This is the first.');
  walk.answer('');
  walk.answer('back');
  expect(walk.question()).toContain('(written so far: latched)');
  walk.answer('');
  walk.answer('q');
  expect(walk.question()).toBeUndefined();
});

it('ends whatever is typed, and records one answer a question at most', () => {
  const line = fc.oneof(fc.constantFrom('', 's', 'b', 'y', 'n', '?', 'lit'), fc.string());
  fc.assert(
    fc.property(fc.array(line, { maxLength: 40 }), (lines) => {
      const walk = walkThrough(LOOKS);
      for (const one of lines) walk.answer(one);
      const asked = walk.answers().map(({ look }) => look);
      expect(new Set(asked).size).toBe(asked.length);
      let left = 0;
      while (walk.question() !== undefined) {
        walk.answer('');
        walk.answer('y');
        left += 1;
        expect(left).toBeLessThan(20);
      }
    }),
  );
});
