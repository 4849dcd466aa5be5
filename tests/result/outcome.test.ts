import { describe, expect, test } from 'vitest';
import type { GroupResult } from '../../src/matrix/matrix.js';
import { unfinishedDrill } from '../../src/result/drill-progress.js';
import { nothingTested, outcomeOf } from '../../src/result/outcome.js';
import type { DrillRecord, Evidence } from '../../src/sighting/types.js';
import { anEndpoint, anEvidence, aPlan, aSighting, notRun, T0, T1 } from '../support/evidence.js';
import { aFact } from '../support/facts.js';
import { aFinding, aMatrix, seen } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';

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
  outcomeOf(
    aMatrix(plan, () => ({ verdict: 'matches', facts: [aFact('address', 'matches')] }), {
      evidence,
      ...more,
    }),
  );

const WHOLE = drill(pulled('a', 'survived'), pulled('b', 'lost'), pulled('c', 'not-noticed'));
const ABORTED = drill(pulled('a', 'survived'), pulled('b', 'aborted'));

describe('a pull test', () => {
  test('that was carried through, or never begun, leaves the outcome as it is', () => {
    for (const evidence of [[anEvidence()], [WHOLE]])
      expect(outcome(evidence)).toMatchObject({
        state: 'ready',
        headline: 'Ready to hand over: everything in the plan is proven.',
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
      headline: `Nothing found wrong, but not everything is proven. The pull test is not finished: ${steps} done.`,
    });
  });

  test('that is not finished stands beside what is to fix', () => {
    const findings = [aFinding('speed-below-plan', 'fix', 'vault-1/A/mgmt', 'Too slow.')];
    expect(outcome([ABORTED], { findings })).toMatchObject({
      state: 'fix',
      headline: 'Not ready to hand over: 1 job to fix. The pull test is not finished: 1 of 3 steps done.',
    });
  });

  test('is finished where another run carried it through, or pulled what was left', () => {
    expect(unfinishedDrill([ABORTED, WHOLE])).toBeUndefined();
    const skipped = drill(pulled('a', 'survived', 2), pulled('b', 'skipped', 2));
    expect(unfinishedDrill([skipped, drill(pulled('b', 'survived', 1))])).toBeUndefined();
    expect(unfinishedDrill([ABORTED, drill(pulled('z', 'survived', 1))])).toEqual({ done: 1, of: 3 });
  });

  test('with steps that nobody could see from there is finished without them, and unproven ones are open', () => {
    const blind = { ...pulled('b', 'skipped', 2), why: 'not-watched' as const };
    expect(unfinishedDrill([drill(pulled('a', 'survived', 2), blind)])).toBeUndefined();
    expect(unfinishedDrill([drill(pulled('a', 'aborted', 2), blind)])).toEqual({ done: 0, of: 1 });
    expect(unfinishedDrill([drill(pulled('a', 'unproven', 1))])).toEqual({ done: 0, of: 1 });
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

describe('the headline', () => {
  const group = (name: string, verdict: GroupResult['verdict']): GroupResult => {
    const [first] = sampleMatrix().groups;
    if (first === undefined) throw new Error('the sample has groups');
    return { ...first, name, verdict, asPlanned: { verdict: 'redundant', singlePoints: [], pairs: [] } };
  };
  const found = (more: Parameters<typeof aMatrix>[2], state: 'matches' | 'unproven' = 'matches') =>
    outcomeOf(
      aMatrix(
        plan,
        () => ({
          verdict: state,
          facts: [aFact('address', state), aFact('echo', state)],
          sightings:
            state === 'matches'
              ? []
              : [
                  seen(
                    'bench',
                    aSighting('192.0.2.11', {
                      reach: 'no-route',
                      presence: notRun(),
                      icmp: notRun(),
                    }),
                  ),
                ],
        }),
        more,
      ),
    );

  test('counts causes, not what follows from them', () => {
    const cause = aFinding('service-refused', 'fix', 'vault-1/A/mgmt', 'ssh is refused.');
    const lost = {
      ...aFinding('group-lost', 'fix', 'vault-1 management', 'No way.'),
      follows: [cause.id],
    };
    expect(found({ findings: [cause, lost] })).toEqual({
      state: 'fix',
      headline: 'Not ready to hand over: 1 job to fix.',
      jobs: 1,
    });
  });

  test('says how redundancy stands, whatever the state', () => {
    const groups = [group('a', 'lost'), group('b', 'at-risk'), group('c', 'redundant')];
    const findings = [aFinding('speed-below-plan', 'fix', 'vault-1/A/mgmt', 'Too slow.')];
    expect(found({ findings, groups }).headline).toBe(
      'Not ready to hand over: 1 job to fix; 1 of 3 groups has no working path and 1 would not survive one failure.',
    );
    expect(found({ groups: groups.slice(2) }).headline).toBe(
      'Ready to hand over: everything in the plan is proven; the group is redundant.',
    );
  });

  test.each<[string, Parameters<typeof aMatrix>[2]]>([
    ['a group that is not redundant', { groups: [group('a', 'unproven')] }],
    [
      'an observation that nobody made',
      { observations: [{ subject: 'vault-1', item: 'lamp', expect: 'green', verdict: 'open' }] },
    ],
    ['a run that was cut short', { run: { ...sampleMatrix().run, complete: false } }],
    ['a run that looked at some devices only', { run: { ...sampleMatrix().run, only: ['vault-1'] } }],
    ['the power-on stage', { run: { ...sampleMatrix().run, stage: 'power-on' } }],
  ])('%s is open, never ready', (_name, more) => {
    const { state, headline } = found(more);
    expect(state).toBe('open');
    expect(headline).not.toMatch(/^ready/i);
  });

  test('nothing tested is never nothing found wrong', () => {
    const { state, headline } = found({}, 'unproven');
    expect(state).toBe('open');
    expect(headline).toBe('Nothing was tested: the one endpoint cannot be reached from here.');
    expect(nothingTested(aMatrix(plan, () => ({ verdict: 'unproven' })))).toBe(true);
    expect(nothingTested(aMatrix(plan, () => ({ verdict: 'missing' })))).toBe(false);
  });

  test('says how many planned facts are open', () => {
    const matrix = aMatrix(plan, () => ({
      verdict: 'matches',
      facts: [aFact('address', 'matches'), aFact('speed', 'unproven')],
    }));
    expect(outcomeOf(matrix)).toMatchObject({
      state: 'open',
      headline: 'Nothing found wrong, but 1 planned fact is not proven.',
    });
  });
});
