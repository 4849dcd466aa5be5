import { expect, test } from 'vitest';
import { placesOf } from '../../src/page/places.js';
import { pullTests } from '../../src/page/pull-tests.js';
import type { DrillRecord } from '../../src/sighting/types.js';
import { anEvidence, aPlan, T0, T1 } from '../support/evidence.js';
import { aMatrix } from '../support/matrix.js';

const record = (name: string, more: Partial<DrillRecord> = {}): DrillRecord => ({
  ...{ group: 'vault-1 fc', pulled: { kind: 'cable', name }, outcome: 'survived', by: 'R. Hale' },
  ...{ startedAt: T0, finishedAt: T1, resolutionMs: 200, gaps: [] },
  ...more,
});
const blind = (name: string) => record(name, { outcome: 'skipped', why: 'not-watched', resolutionMs: 0 });
function shown(...drills: DrillRecord[][]): string {
  const evidence = drills.map((some) => ({ ...anEvidence(), drills: some }));
  const matrix = aMatrix(aPlan({}), () => ({ verdict: 'matches' }), { evidence });
  return pullTests(matrix, placesOf(matrix))
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ');
}

test('no pull test, no section', () => {
  expect(shown([])).toBe('');
});

test('what was pulled stands in the table, what was left out in one line a group', () => {
  const text = shown([
    record('a', { gaps: [{ endpoint: 'a', gapMs: 1840, returned: true }] }),
    blind('b'),
    blind('c'),
  ]);
  expect(text).toContain('cable a the group went on a 1.8 s 0.2 s R. Hale,');
  expect(text).toContain(
    'vault-1 fc: not pulled, because nothing of it could be watched from there: cable b and cable c',
  );
});

test('what another place could watch is not left out', () => {
  expect(shown([blind('a')], [record('a')])).not.toContain('not pulled');
});

test('a step that was skipped has no figures, and too little to tell is said', () => {
  expect(shown([record('a', { outcome: 'skipped' })])).toContain('cable a not done – – R. Hale,');
  expect(shown([record('a', { outcome: 'unproven' })])).toContain('too little could be watched');
});
