import { describe, expect, it } from 'vitest';
import type { Attestation } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEvidence, aPlan, T0, T1 } from '../support/evidence.js';

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
