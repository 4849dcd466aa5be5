import { expect, test } from 'vitest';
import { sayCaution } from '../../src/compare/caution-words.js';
import { cautionsOf, looksAsFar } from '../../src/compare/cautions.js';
import type { Matrix } from '../../src/matrix/matrix.js';
import { anEndpoint, aPlan } from '../support/evidence.js';
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
  expect(cautions.map(sayCaution).join()).toMatch(said);
});

test('a plan file that was only renamed is the same plan', () => {
  const files = base.plan.files.map((file) => ({ ...file, name: 'renamed.yaml' }));
  expect(cautionsOf(base, later({}, { plan: { ...base.plan, files } }))).toEqual([]);
});

test('a result that tells no facts is of an older version, and that is said', () => {
  const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt')] });
  const old = aMatrix(plan, () => ({ verdict: 'matches' }));
  const facts = [
    {
      fact: 'echo',
      planned: 'replies',
      measured: '1 ms',
      state: 'matches',
      by: 'measured',
      vantage: 'bench',
      reason: '',
    },
  ] as const;
  const fresh = { ...aMatrix(plan, () => ({ verdict: 'matches', facts })), run: later().run };
  expect(cautionsOf(old, fresh)).toEqual([{ caution: 'no-facts', side: 'old' }]);
});

test.each<[string, boolean, Matrix]>([
  ['from the same places', true, later()],
  [
    'from one more',
    true,
    later({}, { vantages: [...base.vantages, { name: 'rack', platform: 'linux', interfaces: [] }] }),
  ],
  ['from another', false, later({}, { vantages: [{ name: 'rack', platform: 'linux', interfaces: [] }] })],
  ['cut short', false, later({ complete: false })],
  ['limited', false, later({ only: ['vault-1'] })],
  ['at another stage', false, later({ stage: 'power-on' })],
])('a newer run %s: could have seen what the older one saw: %s', (_what, asFar, now) => {
  expect(looksAsFar(base, now)).toBe(asFar);
});
