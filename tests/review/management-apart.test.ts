import { expect, test } from 'vitest';
import type { Network } from '../../src/plan/model.js';
import { aNetwork, anEndpoint } from '../support/evidence.js';
import { brief, found } from './support.js';

// Common practice, no source; on-link test RFC 950 §2.2: without a router only the own network is reached.
function plan(one: Partial<Network>, two: Partial<Network>, ...homes: [string, 'one' | 'two'][]) {
  const cidr = { one: '192.0.2.0/24', two: '203.0.113.0/24' };
  return {
    networks: [aNetwork('one', cidr.one, one), aNetwork('two', cidr.two, two)],
    endpoints: homes.map(([id, home], index) =>
      anEndpoint(id, {
        network: home,
        address: `${cidr[home].replace('0/24', '')}${10 + index}`,
        role: id.startsWith('loft') ? 'switch' : id.startsWith('data') ? 'data' : 'management',
      }),
    ),
  };
}
const arrays: [string, 'one'][] = [
  ['vault-1/A/mgmt', 'one'],
  ['vault-1/B/mgmt', 'one'],
];

test.each([
  ['all in one network', plan({}, {}, ...arrays), []],
  [
    'a switch in a network that is not routed',
    plan({ routed: true }, {}, ...arrays, ['loft-1/mgmt', 'two']),
    ['fix two'],
  ],
  [
    'most in a network that is not routed',
    plan({}, { routed: true }, ...arrays, ['loft-1/mgmt', 'two']),
    ['fix two'],
  ],
  ['both routed', plan({ routed: true }, { routed: true }, ...arrays, ['loft-1/mgmt', 'two']), []],
  ['data ports elsewhere are ordinary', plan({}, {}, ...arrays, ['data-1/p', 'two']), []],
  [
    'two controllers of one device apart',
    plan({ routed: true }, {}, ['vault-1/A/mgmt', 'one'], ['vault-1/B/mgmt', 'two']),
    ['fix vault-1'],
  ],
  [
    'guessed from a list alone: a note',
    plan({ inferred: true }, { inferred: true }, ...arrays, ['loft-1/mgmt', 'two']),
    ['note two'],
  ],
])('management-apart: %s', (_case, parts, expected) => {
  expect(brief(found('management-apart', parts))).toEqual(expected);
});

test('management-apart says who is where and which network is not routed', () => {
  const [finding] = found('management-apart', plan({ routed: true }, {}, ...arrays, ['loft-1/mgmt', 'two']));
  expect(finding?.message).toBe(
    'The management of loft-1 is in two while the rest is in one, and two is not called routed.',
  );
  expect(finding?.advice).toContain('routed: true');
});
