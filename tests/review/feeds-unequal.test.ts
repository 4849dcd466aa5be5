import { expect, test } from 'vitest';
import { reviewPlan } from '../../src/review/review.js';
import { aDevice, aGroup, anEndpoint, aPlan } from '../support/evidence.js';

const review = (a: string[], b: string[]) =>
  reviewPlan(
    aPlan({
      devices: [aDevice('sw-a', { feeds: a }), aDevice('sw-b', { feeds: b })],
      endpoints: [
        anEndpoint('vault-1/A/data0', { address: '192.0.2.11', role: 'data', switch: 'sw-a', group: 'data' }),
        anEndpoint('vault-1/B/data0', { address: '192.0.2.12', role: 'data', switch: 'sw-b', group: 'data' }),
      ],
      groups: [aGroup('data', ['vault-1/A/data0', 'vault-1/B/data0'])],
    }),
  ).findings.filter(({ code }) => code === 'feeds-unequal');

test.each([
  ['two switches of one group on the same single feed', ['A'], ['A'], 'data', /same single feed/],
  ['one switch has a spare feed and the other has none', ['A', 'B'], ['A'], 'data', /unequal numbers/],
  ['one feed under two spellings', ['A', 'B'], ['a', 'B'], 'feed a', /written in two ways/],
])('%s', (_what, a, b, subject, message) => {
  const [found] = review(a, b);
  expect(found).toMatchObject({ subject, severity: 'fix' });
  expect(found?.message).toMatch(message);
});

test('each on a feed of its own, or both on both, is as it should be', () => {
  expect(review(['A'], ['B'])).toEqual([]);
  expect(review(['A', 'B'], ['A', 'B'])).toEqual([]);
});
