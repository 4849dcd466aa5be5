import { expect, test } from 'vitest';
import { capital, count, list, naturalOrder, plural, withRange } from '../../src/text/sentence.js';

// Wording of our own; no source outside the project.
test.each<[string[], number, string, string]>([
  [[], 8, 'none', 'nothing to name'],
  [['a'], 8, 'a', 'one stands alone'],
  [['a', 'b'], 8, 'a and b', 'two need no comma'],
  [['a', 'b', 'c'], 8, 'a, b and c', 'no comma before "and"'],
  [['a', 'b', 'c'], 2, 'a and 2 others', 'past the limit the rest is counted'],
  [['a', 'b', 'c', 'd'], 3, 'a, b and 2 others', 'the count never hides just one that would have fitted'],
])('list %j with limit %i reads %s: %s', (items, limit, text, _reason) => {
  expect(list(items, limit)).toBe(text);
});

test('list joins alternatives with "or"', () => {
  expect(list(['a', 'b'], 8, 'or')).toBe('a or b');
});

test.each([
  [0, '0 rows'],
  [1, '1 row'],
  [2, '2 rows'],
])('count of %i', (amount, text) => {
  expect(count(amount, 'row')).toBe(text);
});

test('irregular plurals are given by the caller', () => {
  expect(count(3, 'address', 'addresses')).toBe('3 addresses');
  expect(plural(1, 'box', 'boxes')).toBe('box');
});

test('natural order puts 2 before 10 and is total', () => {
  expect(['vault-10', 'vault-2', 'Vault-2'].sort(naturalOrder)).toEqual(['Vault-2', 'vault-2', 'vault-10']);
  expect(naturalOrder('a', 'A')).not.toBe(0);
});

test('capital changes the first letter only', () => {
  expect(capital('a MAC')).toBe('A MAC');
  expect(capital('')).toBe('');
});

test('a network that is called by its range is named once', () => {
  expect(withRange('mgmt', '192.0.2.0/24')).toBe('mgmt (192.0.2.0/24)');
  expect(withRange('192.0.2.0/24', '192.0.2.0/24')).toBe('192.0.2.0/24');
  expect(withRange('fabric-a', undefined)).toBe('fabric-a');
});
