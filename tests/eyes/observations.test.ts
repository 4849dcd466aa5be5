import { describe, expect, it } from 'vitest';
import { attestedLink, judgeObservations } from '../../src/eyes/observations.js';
import type { Attestation } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, T0, T1 } from '../support/evidence.js';
import { workMs } from '../support/work.js';

const _A = '192.0.2.11';

describe('observations', () => {
  const plan = aPlan({ observe: [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }] });
  const saw = (text: string, at = T0): Attestation => ({
    subject: 'Vault-1',
    item: 'power  lamp',
    saw: text,
    by: 'R. Field',
    at,
  });
  it.each<[string, readonly Attestation[], string, string[]]>([
    ['nobody looked', [], 'open', ['observation-open']],
    ['the same words', [saw('Steady green.')], 'matches', []],
    ['the same words in another order', [saw('green, steady')], 'matches', []],
    ['another colour', [saw('steady amber')], 'differs', ['observation-differs']],
    ['one word more', [saw('not steady green')], 'differs', ['observation-differs']],
    ['amber first, green later', [saw('amber'), saw('steady green', T1)], 'matches', []],
  ])('%s', (_why, attestations, verdict, codes) => {
    const result = judge(plan, [anEvidence({ attestations })], { review: [] });
    expect(result.observations[0]?.verdict).toBe(verdict);
    expect(result.findings.map(({ code }) => code)).toEqual(codes);
  });
});

describe('what words cannot tell', () => {
  const said = { subject: 'vault-1', item: 'power lamp', saw: 'lit', by: 'R. Field', at: T0 };
  const plan = aPlan({ observe: [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }] });
  const judged = (attestation: Attestation) =>
    judge(plan, [anEvidence({ attestations: [attestation] })], { review: [] });

  it('stays open and is no fault, with what was seen', () => {
    const { observations, findings } = judged(said);
    expect(observations).toMatchObject([{ verdict: 'open', saw: 'lit', by: 'R. Field' }]);
    expect(findings).toMatchObject([
      { code: 'observation-open', severity: 'note', message: expect.stringContaining('was not said') },
    ]);
  });

  it('is what the person said it is', () => {
    expect(judged({ ...said, agrees: true }).observations[0]?.verdict).toBe('matches');
    expect(judged({ ...said, agrees: false }).observations[0]?.verdict).toBe('differs');
  });
});

it('keeps what was recorded beyond the plan, the latest counting', () => {
  const extra = {
    subject: 'roof',
    item: 'aerial',
    saw: 'bent',
    by: 'R. Field',
    at: T0,
    extra: true as const,
  };
  const { observations, findings } = judge(
    aPlan({}),
    [anEvidence({ attestations: [extra, { ...extra, saw: 'straight', at: T1 }] })],
    { review: [] },
  );
  expect(observations).toEqual([
    {
      subject: 'roof',
      item: 'aerial',
      expect: '',
      saw: 'straight',
      by: 'R. Field',
      at: T1,
      verdict: 'matches',
      extra: true,
    },
  ]);
  expect(findings).toEqual([]);
});

it('goes through thousands of observations once', () => {
  const many = Array.from({ length: 4_000 }, (_, at) => `vault-${at}/A/mgmt`);
  const plan = aPlan({
    endpoints: many.map((id) => anEndpoint(id)),
    observe: many.map((subject) => ({ subject, item: 'link lamp', expect: 'green' })),
  });
  const attestations = many.map((subject) => ({ subject, item: 'link lamp', saw: 'green', by: 'R', at: T0 }));
  const begun = workMs();
  expect(judgeObservations(plan, [anEvidence({ attestations })]).observations).toHaveLength(4_000);
  for (const endpoint of plan.endpoints) attestedLink(plan, endpoint, attestations);
  // Some 30 ms; pair by pair it is sixteen million comparisons and half a minute.
  expect(workMs() - begun).toBeLessThan(3_000);
});
