import { expect, test } from 'vitest';
import type { GroupResult } from '../../src/matrix/matrix.js';
import type { DrillRecord } from '../../src/sighting/types.js';
import { judgeDrills } from '../../src/site/pull-tests.js';
import { anEvidence, T0, T1 } from '../support/evidence.js';

const group = (singlePoints: GroupResult['singlePoints']): GroupResult => ({
  name: 'vault-1 data',
  need: 1,
  basis: 'measured',
  inferred: false,
  planned: [],
  live: [],
  verdict: 'redundant',
  reasons: [],
  singlePoints,
  pairs: [],
  paths: [],
  asPlanned: { verdict: 'redundant', singlePoints: [], pairs: [] },
});

const record = (outcome: DrillRecord['outcome'], gapMs = 4200): DrillRecord => ({
  group: 'vault-1 data',
  pulled: { kind: 'switch', name: 'data-switch-a' },
  outcome,
  by: 'R. Hale',
  startedAt: T0,
  finishedAt: T1,
  resolutionMs: 200,
  gaps: [{ endpoint: 'vault-1/B/data1', gapMs, returned: true }],
});

const judged = (drills: DrillRecord[], singlePoints: GroupResult['singlePoints'] = []) =>
  judgeDrills([anEvidence({ drills })], [group(singlePoints)]);

test('a survived or skipped step is no finding', () => {
  expect(judged([record('survived')])).toEqual([]);
  expect(judged([record('skipped')])).toEqual([]);
  expect(judged([record('aborted')])).toEqual([]);
});

test('a group that fell although another path was found is to be mended, with its longest gap', () => {
  const [found, ...others] = judged([record('lost')]);
  expect(others).toEqual([]);
  expect(found).toMatchObject({
    code: 'drill-lost',
    severity: 'fix',
    subject: 'vault-1 data',
    about: ['vault-1/B/data1'],
  });
  expect(found?.message).toContain('switch data-switch-a');
  expect(found?.message).toContain('4.2 s');
});

test('a loss that the single points had named is a note', () => {
  const [found] = judged([record('lost')], [{ kind: 'switch', name: 'data-switch-a' }]);
  expect(found).toMatchObject({ code: 'drill-lost', severity: 'note' });
});

test('the last record of a step counts', () => {
  expect(judged([record('lost'), record('survived')])).toEqual([]);
  expect(judged([record('survived'), record('lost')]).map(({ code }) => code)).toEqual(['drill-lost']);
});

test('a pull that nothing noticed is said', () => {
  expect(judged([record('not-noticed')]).map(({ code, severity }) => `${code} ${severity}`)).toEqual([
    'drill-not-noticed note',
  ]);
});
