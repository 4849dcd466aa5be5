import { expect, test } from 'vitest';
import { assembleGroups } from '../../src/plan-file/assembly/groups.js';
import { AT, anEndpoint } from '../support/evidence.js';

const noIssues = { error: () => {}, note: () => {} } as unknown as Parameters<typeof assembleGroups>[3];

test('in silence on independence, data paths must not share a switch; management ports may (common practice, no source)', () => {
  const endpoints = [
    anEndpoint('vault-1/A/mgmt', { group: 'vault-1 management' }),
    anEndpoint('vault-1/B/mgmt', { group: 'vault-1 management' }),
    anEndpoint('vault-1/A/data0', { role: 'data', group: 'vault-1 data' }),
    anEndpoint('vault-1/B/data0', { role: 'data', group: 'vault-1 data' }),
  ];
  const groups = assembleGroups([], endpoints, () => AT, noIssues);
  expect(groups.map(({ name, independent }) => `${name}: ${independent.join(' ')}`)).toEqual([
    'vault-1 management: controller',
    'vault-1 data: controller switch',
  ]);
});
