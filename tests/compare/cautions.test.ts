import { expect, test } from 'vitest';
import { cautionsOf } from '../../src/compare/cautions.js';
import type { Matrix } from '../../src/matrix/matrix.js';
import { aPlan } from '../support/evidence.js';
import { aMatrix } from '../support/matrix.js';

const base = aMatrix(aPlan({}), () => ({ verdict: 'matches' }));
const later = (run: Partial<Matrix['run']> = {}, more: Partial<Matrix> = {}): Matrix => ({
  ...base,
  ...more,
  run: { ...base.run, id: 'later', startedAt: '2031-01-01T00:00:00.000Z', ...run },
});

test('two whole runs of one plan from one place need no caution', () => {
  expect(cautionsOf(base, later())).toEqual([]);
});

test.each<[string, Matrix, Matrix, RegExp]>([
  [
    'another site',
    base,
    later({}, { plan: { ...base.plan, site: 'Loft' } }),
    /different sites: Test Hall and Loft/,
  ],
  ['the same run', base, base, /of the same run/],
  ['the wrong way round', later(), base, /second run is the older/],
  ['another stage', base, later({ stage: 'power-on' }), /configured before, power-on now/],
  [
    'another place',
    base,
    later({}, { vantages: [{ name: 'rack', platform: 'linux', interfaces: [] }] }),
    /bench before, rack now/,
  ],
  ['cut short', base, later({ complete: false }), /newer run was cut short/],
  [
    'one device',
    later({ only: ['vault-1'], startedAt: base.run.startedAt }),
    later(),
    /older run looked at vault-1 only/,
  ],
  ['another version', base, later({ version: '9' }), /different versions/],
  [
    'another plan',
    base,
    later({}, { plan: { ...base.plan, files: [{ name: 'test.yaml', sha256: '1'.repeat(64) }] } }),
    /plan is not the same/,
  ],
])('%s', (_what, before, now, said) => {
  const cautions = cautionsOf(before, now);
  expect(cautions).toHaveLength(1);
  expect(cautions[0]).toMatch(said);
});
