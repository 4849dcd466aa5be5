import { expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import { aNetwork, anEndpoint } from '../support/evidence.js';
import { found } from './support.js';

const data = (id: string, mtu?: number, more: Partial<Endpoint> = {}) =>
  anEndpoint(id, {
    network: 'data-a',
    role: 'data',
    ...(mtu === undefined ? {} : { mtu }),
    ...more,
    services: [],
  });

// A frame that is too large for one link is dropped in silence inside a network: RFC 4821 §1 ("black hole"), standards.md §4.
test.each<[string, number | undefined, Endpoint[], string[]]>([
  ['all the same', 9000, [data('a/p', 9000), data('b/p', 9000)], []],
  ['smaller than the network, and alike', 9216, [data('a/p', 9000), data('b/p', 9000)], []],
  ['one does not say', undefined, [data('a/p', 9000), data('b/p')], []],
  [
    'two values',
    undefined,
    [data('a/p', 9000), data('b/p', 9000), data('c/p', 1500)],
    ['In the network data-a the list plans different MTUs: 9000 for a/p and b/p and 1500 for c/p.'],
  ],
  [
    'larger than the network',
    1500,
    [data('a/p', 9000), data('b/p', 1500)],
    ['data-a passes packets of 1500 octets, but the list plans MTU 9000 for a/p.'],
  ],
  [
    'one group over two networks',
    undefined,
    [data('a/p', 9000, { group: 'g' }), data('b/p', 1500, { group: 'g', network: 'data-b' })],
    ['In the group g the list plans different MTUs: 1500 for b/p and 9000 for a/p.'],
  ],
  [
    'a group inside one network is told once',
    undefined,
    [data('a/p', 9000, { group: 'g' }), data('b/p', 1500, { group: 'g' })],
    ['In the network data-a the list plans different MTUs: 1500 for b/p and 9000 for a/p.'],
  ],
])('mtu-mismatch-in-network: %s', (_case, mtu, endpoints, expected) => {
  const networks = [aNetwork('data-a', '198.51.100.0/25', { mtu }), aNetwork('data-b', '198.51.100.128/25')];
  const findings = found('mtu-mismatch-in-network', { networks, endpoints });
  expect(findings.map((finding) => finding.message)).toEqual(expected);
});
