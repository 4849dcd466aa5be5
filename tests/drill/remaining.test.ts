import { expect, test } from 'vitest';
import type { DrillStep } from '../../src/drill/plan.js';
import { isDone, keptRecords, lastRecord } from '../../src/drill/remaining.js';
import type { DrillRecord } from '../../src/sighting/types.js';
import { T0, T1 } from '../support/evidence.js';

const step = (name: string, expectIt: DrillStep['expect'] = 'survives'): DrillStep => ({
  group: 'vault-1 data',
  pull: { kind: 'cable', name },
  ...{ instruction: '', restore: '', affected: [], survivors: [], expect: expectIt },
});
const record = (name: string, outcome: DrillRecord['outcome']): DrillRecord => ({
  group: 'vault-1 data',
  pulled: { kind: 'cable', name },
  ...{ outcome, by: 'R. Hale', startedAt: T0, finishedAt: T1, resolutionMs: 200, gaps: [] },
});

test.each<[DrillRecord['outcome'][], DrillStep['expect'], boolean]>([
  [[], 'survives', false],
  [['survived'], 'survives', true],
  // Fixed since, perhaps: worth another pull.
  [['lost'], 'survives', false],
  [['lost'], 'lost', true],
  [['not-noticed'], 'survives', false],
  [['unproven'], 'survives', false],
  [['skipped'], 'survives', false],
  [['lost', 'survived'], 'survives', true],
  [['survived', 'lost'], 'survives', false],
])('%j of a step that %s: done: %s', (outcomes, expectIt, done) => {
  const records = outcomes.map((outcome) => record('a', outcome));
  expect(isDone(step('a', expectIt), [record('b', 'survived'), ...records])).toBe(done);
});

test('the last record of a step counts, of its own group and thing', () => {
  const other = { ...record('a', 'lost'), group: 'vault-2 data' };
  expect(lastRecord(step('a'), [record('a', 'survived'), other, record('b', 'lost')])?.outcome).toBe(
    'survived',
  );
});

test('what was skipped or stopped goes where the step is done now; what was measured stays', () => {
  const all = [record('a', 'skipped'), record('a', 'lost'), record('b', 'skipped'), record('c', 'aborted')];
  expect(
    keptRecords(all, [step('a'), step('c')]).map(({ pulled, outcome }) => `${pulled.name} ${outcome}`),
  ).toEqual(['a lost', 'b skipped']);
});
