import { describe, expect, test } from 'vitest';
import { reviewGroups } from '../../src/redundancy/index.js';
import { inferGroups } from '../../src/redundancy/infer.js';
import { anEndpoint, aPlan } from '../support/evidence.js';

// Common practice, no source: matching ports of both controllers are cabled as one way in two copies (standards.md 11).
describe('groups that nobody wrote', () => {
  test('ports of one name and role on both controllers make one group a role, marked as inferred', () => {
    const plan = aPlan({
      endpoints: [
        anEndpoint('vault-1/A/mgmt'),
        anEndpoint('vault-1/B/MGMT'),
        ...['A/data0', 'B/data0', 'A/data1', 'B/data1', 'A/spare'].map((id) =>
          anEndpoint(`vault-1/${id}`, { role: 'data' }),
        ),
      ],
    });
    expect(inferGroups(plan).map((g) => [g.name, g.inferred, g.members])).toEqual([
      ['vault-1 management (inferred)', true, ['vault-1/A/mgmt', 'vault-1/B/MGMT']],
      [
        'vault-1 data (inferred)',
        true,
        ['vault-1/A/data0', 'vault-1/B/data0', 'vault-1/A/data1', 'vault-1/B/data1'],
      ],
    ]);
  });

  test.each([
    ['fc', 'fc', 'vault-2 data, Fibre Channel (inferred)'],
    ['fc', 'copper', 'vault-2 data (inferred)'],
  ] as const)('beside a written data group, ports of %s and %s make %s', (first, second, name) => {
    const ports = ['A', 'B'].flatMap((controller) => [
      anEndpoint(`vault-2/${controller}/data0`, { role: 'data', group: 'vault-2 data' }),
      anEndpoint(`vault-2/${controller}/fc0`, { role: 'data', media: first }),
      anEndpoint(`vault-2/${controller}/fc1`, { role: 'data', media: second }),
    ]);
    expect(inferGroups(aPlan({ endpoints: ports })).map((group) => group.name)).toEqual([name]);
  });

  test.each([
    ['a written group', [anEndpoint('v/A/m', { group: 'g' }), anEndpoint('v/B/m', { group: 'g' })]],
    ['one controller', [anEndpoint('v/A/m'), anEndpoint('v/A/n')]],
    ['no controllers', [anEndpoint('v/m'), anEndpoint('w/m')]],
    ['different names', [anEndpoint('v/A/m'), anEndpoint('v/B/n')]],
    ['different roles', [anEndpoint('v/A/m'), anEndpoint('v/B/m', { role: 'data' })]],
    ['host ports', [anEndpoint('v/A/m', { role: 'host' }), anEndpoint('v/B/m', { role: 'host' })]],
    [
      'an address that moves',
      [anEndpoint('v/A/m', { virtual: true }), anEndpoint('v/B/m', { virtual: true })],
    ],
  ])('%s: nothing is inferred', (_, endpoints) => {
    expect(inferGroups(aPlan({ endpoints }))).toEqual([]);
  });

  test('what is wrong with an inferred group is a note, and its result says that nobody wrote it', () => {
    const plan = aPlan({
      endpoints: ['A', 'B'].map((c) =>
        anEndpoint(`vault-1/${c}/mgmt`, { network: 'mgmt', switch: 'only-one' }),
      ),
    });
    const { groups, findings } = reviewGroups(plan);
    expect(groups[0]?.inferred).toBe(true);
    expect(groups[0]?.reasons.join(' ')).toContain('This group is not in the plan');
    expect(findings.map((f) => `${f.severity} ${f.code}`)).toEqual(['note group-not-independent']);
  });
});
