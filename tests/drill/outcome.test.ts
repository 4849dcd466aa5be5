import { describe, expect, test } from 'vitest';
import { GapMeter } from '../../src/drill/gap-meter.js';
import { groupDowntime, judgeStep, recordStep } from '../../src/drill/outcome.js';
import { planDrill } from '../../src/drill/plan.js';
import { assessGroups } from '../../src/redundancy/index.js';
import { anEndpoint, aPlan, T0, T1 } from '../support/evidence.js';

const A = 'vault-1/A/mgmt';
const B = 'vault-1/B/mgmt';
const plan = aPlan({
  endpoints: [A, B].map((id, n) =>
    anEndpoint(id, { group: 'vault-1 mgmt', network: 'mgmt', switch: `sw-${n}` }),
  ),
});
const [group] = assessGroups(plan, new Map([A, B].map((id) => [id, { state: 'live' as const }]))).groups;
if (group === undefined) throw new Error('no group');
const [step] = planDrill([group]);
if (step === undefined) throw new Error('no step');

/** One character an interval of 200 ms: `+` up, `-` down. */
function gapsOf(a: string, b: string) {
  const meter = new GapMeter(200);
  for (let n = 0; n < a.length; n += 1) {
    meter.feed({ atMs: n * 200, endpoint: A, up: a[n] === '+' });
    meter.feed({ atMs: n * 200, endpoint: B, up: b[n] === '+' });
  }
  return meter.gaps();
}

describe('what a step proved', () => {
  test.each<[string, string, string, string]>([
    ['+---++', '++++++', 'survived', 'the cable pulled, the other path stayed'],
    ['++++++', '++++++', 'not-noticed', 'nothing went away: another cable was pulled, or none'],
    ['++++++', '+---++', 'not-noticed', 'the other cable was pulled'],
    ['+----+', '++--++', 'lost', 'both away at once'],
    ['+--+++', '+++--+', 'survived', 'one after the other'],
    ['+---++', '+-----', 'lost', 'the other never came back'],
    ['+----+', '+++++-', 'survived', 'the other went only after this one was back'],
    ['+-----', '+++++-', 'lost', 'the other goes at the very last sample'],
  ])('%s %s: %s (%s)', (a, b, outcome) => {
    expect(judgeStep(step, group, gapsOf(a, b), new Set([A, B]))).toBe(outcome);
  });

  test.each<[string, string, string[], string, string]>([
    ['+---++', '++++++', [A], 'unproven', 'the other path is not watched: who knows'],
    ['++++++', '++++++', [B], 'unproven', 'what was pulled is not watched: no label is blamed'],
    ['++++++', '+---++', [B], 'unproven', 'the other went while this one is not watched'],
    ['++++++', '++++++', [A], 'not-noticed', 'watched, and it never went'],
  ])('%s %s, watched: %s: %s', (a, b, watched, outcome) => {
    const gaps = gapsOf(a, b).filter(({ endpoint }) => watched.includes(endpoint));
    expect(judgeStep(step, group, gaps, new Set(watched))).toBe(outcome);
  });

  test('the time without enough paths is the overlap, joined where it touches', () => {
    expect(groupDowntime(group, gapsOf('+----+', '++--++'))).toEqual([{ startMs: 400, endMs: 800 }]);
    expect(groupDowntime({ ...group, need: 2 }, gapsOf('+--+++', '+++--+'))).toEqual([
      { startMs: 200, endMs: 1000 },
    ]);
  });

  test('the record has who, when, the resolution and each gap', () => {
    const times = { by: 'R. Fitter', startedAt: T0, finishedAt: T1, resolutionMs: 200 };
    expect(recordStep(step, gapsOf('+---++', '++++++'), times, 'survived')).toEqual({
      group: 'vault-1 mgmt',
      pulled: { kind: 'cable', name: A },
      outcome: 'survived',
      ...times,
      gaps: [{ endpoint: A, gapMs: 600, returned: true }],
    });
  });
});
