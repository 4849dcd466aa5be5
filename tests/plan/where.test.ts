import { expect, test } from 'vitest';
import { formatWhere } from '../../src/plan/where.js';

test.each([
  [{ file: 'address-list.csv', row: 7 }, 'address-list.csv row 7'],
  [{ file: 'a.csv', row: 7, line: 9, column: 'address' }, 'a.csv row 7 column address'],
  [{ file: 'a.xlsx', sheet: 'Ports', row: 3 }, 'a.xlsx sheet Ports row 3'],
  [{ file: 'plan.yaml', line: 12, column: 'networks[0].cidr' }, 'plan.yaml line 12 at networks[0].cidr'],
  [{ file: 'plan.yaml' }, 'plan.yaml'],
])('%j reads "%s"', (at, text) => {
  expect(formatWhere(at)).toBe(text);
});

test('a file name cannot move the cursor', () => {
  expect(formatWhere({ file: 'a\u001b[2J.csv', row: 1 })).not.toContain('\u001b');
});
