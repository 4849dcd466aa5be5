import { expect, test } from 'vitest';
import { compareRuns } from '../../src/compare/compare.js';
import { comparisonHeadline } from '../../src/compare/words.js';
import { renderComparison } from '../../src/terminal/compare.js';
import { aFinding } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';

const STYLE = { width: 80, colour: false, unicode: true };
const old = sampleMatrix();
const later = {
  ...old,
  run: { ...old.run, id: 'later', startedAt: '2031-01-02T03:04:05.000Z' },
  endpoints: old.endpoints.map((endpoint) => ({ ...endpoint, verdict: 'missing' as const })),
  findings: [aFinding('endpoint-missing', 'fix', 'vault-1', 'It is – missing.'), ...old.findings.slice(1)],
};

test('what is new and worse stands before what was settled, and the outcome stands last', () => {
  const text = renderComparison(compareRuns(old, later, '1'), STYLE);
  const titles = [
    'New findings',
    'Not as planned before either',
    'Findings that are gone',
    'Worse than before:',
  ];
  const places = titles.map((title) => text.indexOf(`\n${title}`));
  expect(places).not.toContain(-1);
  expect([...places].sort((a, b) => a - b)).toEqual(places);
  const last = text.replace(/\s+/g, ' ').trim();
  expect(last.endsWith(comparisonHeadline(compareRuns(old, later, '1')))).toBe(true);
});

test('keeps to the width, to ASCII where the console needs it, and colours only where asked', () => {
  const narrow = renderComparison(compareRuns(old, later, '1'), { width: 48, colour: false, unicode: false });
  expect(narrow.split('\n').filter((line) => line.length > 48)).toEqual([]);
  expect(narrow).toMatch(/^[\n\x20-\x7e]*$/);
  expect(renderComparison(compareRuns(old, later, '1'), { ...STYLE, colour: true })).toContain(
    '\u001b[1mNew findings',
  );
});
