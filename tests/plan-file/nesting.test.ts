import { expect, test } from 'vitest';
import { Issues } from '../../src/plan-file/issues.js';
import { nestsTooDeep } from '../../src/plan-file/nesting.js';
import { readPlanText } from '../../src/plan-file/plan-text.js';

test.each([
  ['brackets', '['.repeat(100_000)],
  ['braces', '{"a":'.repeat(100_000)],
  ['closed brackets', '['.repeat(50_000) + ']'.repeat(50_000)],
  ['brackets whose ends are quoted', '["]", '.repeat(50_000)],
  ['list marks on one line', `${'- '.repeat(100_000)}x`],
  ['key marks on one line', `${'? '.repeat(100_000)}x`],
  ['indented keys', Array.from({ length: 2000 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')],
  [
    'indented lists',
    Array.from({ length: 2000 }, (_, i) => `${' '.repeat(i)}-\n${' '.repeat(i)} a:`).join('\n'),
  ],
])('%s without end are refused with one error, ten times over', (_what, text) => {
  for (let round = 0; round < 10; round += 1) {
    const issues = new Issues();
    expect(readPlanText(text, 'plan.yaml', issues)).toBeUndefined();
    expect(issues.all.map((issue) => issue.code)).toEqual(['nested-too-deep']);
  }
});

test.each([
  ['a plan', 'plan: 1\nnetworks:\n  - { name: a, reserved: [192.0.2.1] }\n'],
  ['many rows in braces', '- { a: [1, 2] }\n'.repeat(10_000)],
  ['brackets in quotation marks', `note: "${'['.repeat(1000)}"`],
  ['a line of dashes', `# list\n${'-'.repeat(200)}\n`],
  ['a line of blanks', `plan: 1\n${' '.repeat(200)}\nsite: {}\n`],
  ['brackets in a comment', `# ${'['.repeat(1000)}\nplan: 1\n`],
])('%s is no deep nesting', (_what, text) => {
  expect(nestsTooDeep(text)).toBe(false);
});
