import { expect, test } from 'vitest';
import { reviewPlan } from '../../src/review/review.js';
import { aGroup, anEndpoint, aPlan } from '../support/evidence.js';

const codes = (ports: readonly [string, string], grouped = false) => {
  const endpoints = [
    anEndpoint(`vault-1/A/${ports[0]}`, { address: '192.0.2.11', services: 'https' }),
    anEndpoint(`vault-1/B/${ports[1]}`, { address: '192.0.2.12', services: 'https' }),
  ];
  return reviewPlan(
    aPlan({
      endpoints,
      groups: grouped
        ? [
            aGroup(
              'mgmt',
              endpoints.map(({ id }) => id),
            ),
          ]
        : [],
    }),
  ).findings.flatMap(({ code, subject }) => (code === 'controllers-without-group' ? [subject] : []));
};

test('two controllers and no group are said, whatever their ports are called (DESIGN 3)', () => {
  expect(codes(['e0M', 'bmc'])).toEqual(['vault-1']);
});

test('ports of one name suggest a group, which stands in the review; a written one is enough', () => {
  expect(codes(['mgmt', 'mgmt'])).toEqual([]);
  expect(codes(['e0M', 'bmc'], true)).toEqual([]);
});
