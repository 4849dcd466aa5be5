import { expect, test } from 'vitest';
import type { PlanIssue } from '../../src/plan/issue.js';
import { ISSUE_CODES } from '../../src/plan-file/issues.js';
import { describeIssue, WORDING } from '../../src/plan-file/wording.js';

const at = { file: 'address-list.csv', row: 7, column: 'address' };

test.each(ISSUE_CODES)('%s has a sentence of one line with and without facts', (code) => {
  expect(Object.hasOwn(WORDING, code)).toBe(true);
  for (const facts of [{}, { found: 'x', expected: 'y', nearest: 'z' }]) {
    const line = describeIssue({ level: 'error', code, at, ...facts });
    expect(line).toMatch(/^address-list\.csv, row 7, column "address": \S/);
    expect(line).not.toMatch(/\n|\.$/);
  }
  expect(describeIssue({ level: 'error', code, at, found: 'x', expected: 'y', nearest: 'z' })).not.toContain(
    'undefined',
  );
});

test('file, row, column, found, expected and the nearest word stand in one line', () => {
  const issue: PlanIssue = {
    level: 'error',
    code: 'bad-value',
    at,
    found: '192.O.2.3',
    expected: 'an IPv4 or IPv6 address',
    nearest: '192.0.2.3',
  };
  expect(describeIssue(issue)).toBe(
    'address-list.csv, row 7, column "address": found "192.O.2.3", expected an IPv4 or IPv6 address; did you mean "192.0.2.3"?',
  );
});

test('what was found cannot act on the terminal', () => {
  const line = describeIssue({ level: 'error', code: 'bad-value', at, found: 'a\u001b[31m\u202eb\nc' });
  expect(line).not.toMatch(/[\u001b\u202e\n]/u);
});

// From memory of ECMA-376: the value of merged cells stands in the first of them.
test('an empty cell of a workbook may be a merged one, and that is said', () => {
  const issue: PlanIssue = { level: 'error', code: 'missing-value', at, expected: 'name of the device' };
  expect(describeIssue({ ...issue, at: { ...at, sheet: 'Sheet1' } })).toContain(
    'of merged cells only the first',
  );
  expect(describeIssue(issue)).not.toContain('merged');
});
