import { describe, expect, it } from 'vitest';
import { planDifferences } from '../../src/result/plan-difference.js';
import { aNetwork, anEndpoint, aPlan } from '../support/evidence.js';

const plan = (address: string, more: readonly string[] = [], cidr = '192.0.2.0/24') =>
  aPlan({
    networks: [aNetwork('mgmt', cidr)],
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address, services: 'https' }),
      ...more.map((id, index) => anEndpoint(id, { address: `192.0.2.${50 + index}` })),
    ],
  });

describe('planDifferences', () => {
  it('is empty for the same plan, wherever its rows stand', () => {
    const other = plan('192.0.2.11');
    expect(
      planDifferences(plan('192.0.2.11'), {
        ...other,
        networks: other.networks.map((one) => ({ ...one, at: { file: 'copy.yaml', line: 9 } })),
      }),
    ).toEqual([]);
  });

  it('names the row, the field and both values', () => {
    expect(planDifferences(plan('192.0.2.11'), plan('192.0.2.12'))).toEqual([
      'vault-1/A/mgmt: address 192.0.2.11, then 192.0.2.12',
    ]);
  });

  it('names what only one of them has', () => {
    expect(
      planDifferences(plan('192.0.2.11', ['vault-1/B/mgmt']), plan('192.0.2.11', ['vault-1/C/mgmt'])),
    ).toEqual(['vault-1/B/mgmt is in the first alone', 'vault-1/C/mgmt is in the second alone']);
    expect(planDifferences(plan('192.0.2.11'), plan('192.0.2.11', [], '192.0.2.0/25'))).toEqual([
      'network mgmt is another',
    ]);
  });
});
