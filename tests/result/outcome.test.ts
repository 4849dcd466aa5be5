import { describe, expect, test } from 'vitest';
import { unfinishedDrill } from '../../src/result/drill-progress.js';
import { outcomeOf } from '../../src/result/outcome.js';
import type { DrillRecord, Evidence } from '../../src/sighting/types.js';
import { anEndpoint, anEvidence, aPlan, T0, T1 } from '../support/evidence.js';
import { aFinding, aMatrix } from '../support/matrix.js';

function pulled(cable: string, outcome: DrillRecord['outcome'], ofSteps = 3): DrillRecord {
  return {
    group: 'vault-1 data',
    pulled: { kind: 'cable', name: cable },
    outcome,
    ofSteps,
    by: 'R. Hale',
    startedAt: T0,
    finishedAt: T1,
    resolutionMs: 200,
    gaps: [],
  };
}

const drill = (...drills: DrillRecord[]): Evidence => anEvidence({ drills });
const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11' })] });
const outcome = (evidence: Evidence[], more: Parameters<typeof aMatrix>[2] = {}) =>
  outcomeOf(aMatrix(plan, () => ({ verdict: 'matches' }), { evidence, ...more }));

const WHOLE = drill(pulled('a', 'survived'), pulled('b', 'lost'), pulled('c', 'not-noticed'));
const ABORTED = drill(pulled('a', 'survived'), pulled('b', 'aborted'));

describe('a pull test', () => {
  test('that was carried through, or never begun, leaves the outcome as it is', () => {
    for (const evidence of [[anEvidence()], [WHOLE]])
      expect(outcome(evidence)).toMatchObject({
        state: 'ready',
        headline: 'Ready to hand over: everything that was looked at is as planned.',
      });
  });

  test.each<[string, Evidence, string]>([
    ['aborted in a step', ABORTED, '1 of 3 steps'],
    ['aborted between two steps', drill(pulled('a', 'survived'), pulled('b', 'survived')), '2 of 3 steps'],
    ['with a step skipped', drill(pulled('a', 'survived', 2), pulled('b', 'skipped', 2)), '1 of 2 steps'],
    ['aborted at once', drill(pulled('a', 'aborted', 1)), '0 of 1 step'],
  ])('%s is not ready to hand over, and says so in the outcome line', (_name, evidence, steps) => {
    expect(outcome([evidence])).toMatchObject({
      state: 'open',
      headline: `Nothing found wrong, but not everything is proven. Pull test not finished: ${steps}.`,
    });
  });

  test('that is not finished stands beside what is to fix', () => {
    const findings = [aFinding('speed-below-plan', 'fix', 'vault-1/A/mgmt', 'Too slow.')];
    expect(outcome([ABORTED], { findings })).toMatchObject({
      state: 'fix',
      headline: 'Not ready to hand over: 1 thing to fix. Pull test not finished: 1 of 3 steps.',
    });
  });

  test('is finished where another run carried it through, or pulled what was left', () => {
    expect(unfinishedDrill([ABORTED, WHOLE])).toBeUndefined();
    const skipped = drill(pulled('a', 'survived', 2), pulled('b', 'skipped', 2));
    expect(unfinishedDrill([skipped, drill(pulled('b', 'survived', 1))])).toBeUndefined();
    expect(unfinishedDrill([ABORTED, drill(pulled('z', 'survived', 1))])).toEqual({ done: 1, of: 3 });
  });

  test('of a result without the number of its steps counts those that it has', () => {
    const { ofSteps: _none, ...old } = pulled('a', 'survived');
    expect(unfinishedDrill([drill(old)])).toBeUndefined();
    expect(
      unfinishedDrill([drill(old, { ...old, pulled: { kind: 'cable', name: 'b' }, outcome: 'aborted' })]),
    ).toEqual({
      done: 1,
      of: 2,
    });
  });
});
