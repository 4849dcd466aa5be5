import { describe, expect, it } from 'vitest';
import { judge } from '../../src/verdicts/judge.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';

const A = '192.0.2.11';

// DESIGN 2: an address that answers and that the plan does not have. Real ones: tests/lab/wire-strangers.test.ts.
describe('strangers', () => {
  const plan = aPlan({
    networks: [aNetwork('mgmt', '192.0.2.0/24', { gateway: '192.0.2.1' })],
    endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, mac: mac(1) })],
  });
  it('are addresses that answer and stand nowhere in the plan; gateway and laptop are none', () => {
    const { strangers, findings, endpoints } = judge(
      plan,
      [
        anEvidence({
          sightings: [
            aSighting('192.0.2.1', { by: mac(0x10) }),
            aSighting('192.0.2.250', { by: mac(0xfe), own: true }),
            aSighting('192.0.2.77', { by: mac(0x77) }),
            aSighting('192.0.2.78', { by: mac(1) }),
            aSighting('192.0.2.79', { by: false }),
            aSighting(A, { by: false }),
          ],
        }),
      ],
      { review: [], makerOf: () => 'Example Works' },
    );
    expect(strangers).toEqual([
      { address: '192.0.2.77', mac: mac(0x77), network: 'mgmt', maker: 'Example Works' },
      { address: '192.0.2.78', mac: mac(1), network: 'mgmt', maker: 'Example Works' },
    ]);
    expect(findings.filter(({ code }) => code === 'stranger').map(({ severity }) => severity)).toEqual([
      'note',
      'note',
    ]);
    // The planned device sits on a wrong address: the missing endpoint says where.
    expect(endpoints[0]?.verdict).toBe('missing');
    expect(findings.find(({ code }) => code === 'endpoint-missing')?.message).toContain(
      'Its planned MAC answers at 192.0.2.78',
    );
  });
});
