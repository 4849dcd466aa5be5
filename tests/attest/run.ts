/** A run with something of everything that eyes can prove, for the tests of attest. */
import type { Matrix } from '../../src/matrix/matrix.js';
import { buildMatrix } from '../../src/result/build.js';
import { judge } from '../../src/verdicts/judge.js';
import { AT, anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';

export function aRunToLookAt(): Matrix {
  const plan = {
    ...aPlan({
      endpoints: [
        anEndpoint('vault-1/A/data0', {
          address: '192.0.2.11',
          services: 'https',
          speedMbps: 10_000,
          switch: 'loft-1',
          switchPort: '11',
        }),
        anEndpoint('vault-1/A/fc0', { role: 'data', media: 'fc' }),
      ],
    }),
    observe: [
      { subject: 'Test Hall', item: 'keys', expect: 'handed over', when: 'handover' as const, at: AT },
      { subject: 'vault-1', item: 'power lamp', expect: 'steady green', at: AT },
      { subject: 'vault-1', item: 'rails', expect: 'latched', when: 'racked' as const, at: AT },
    ],
  };
  const evidence = [anEvidence({ sightings: [aSighting('192.0.2.11', { by: mac(1), answers: 'https' })] })];
  return buildMatrix({
    run: { id: 'x', complete: true, stage: 'configured', version: '0' },
    plan,
    evidence,
    judgement: judge(plan, evidence, { review: [] }),
  });
}
