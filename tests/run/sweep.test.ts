import { expect, test } from 'vitest';
import { sweepOf } from '../../src/run/sweep.js';
import { aNetwork, aPlan } from '../support/evidence.js';

// Sizes of blocks: RFC 4632 §3.1. Both addresses of a /31: RFC 3021 §2.1. The limit of /20: DESIGN 5.
test.each([
  ['198.18.16.0/20', 4094, '198.18.16.1', '198.18.31.254'],
  ['192.0.2.0/24', 254, '192.0.2.1', '192.0.2.254'],
  ['192.0.2.6/31', 2, '192.0.2.6', '192.0.2.7'],
])('%s: %i addresses, from %s to %s, neither network nor broadcast address', (cidr, size, first, last) => {
  const sweep = sweepOf(aPlan({ networks: [aNetwork('mgmt', cidr)] }));
  expect(sweep.addresses).toHaveLength(size);
  expect([sweep.addresses[0], sweep.addresses.at(-1)]).toEqual([first, last]);
  expect(sweep.swept).toEqual([{ network: 'mgmt', addresses: size }]);
  expect(sweep.left).toEqual([]);
});

test.each([
  ['198.18.0.0/19', 'larger than /20'],
  ['10.0.0.0/8', 'larger than /20'],
  // RFC 7707 §4: IPv6 networks are not swept address by address.
  ['2001:db8::/64', 'IPv6'],
  ['2001:db8::/126', 'IPv6'],
])('%s is never swept, and that is said', (cidr, reason) => {
  const sweep = sweepOf(aPlan({ networks: [aNetwork('wide', cidr), aNetwork('small', '192.0.2.0/30')] }));
  expect(sweep.addresses).toEqual(['192.0.2.1', '192.0.2.2']);
  expect(sweep.left).toEqual([{ network: 'wide', reason: expect.stringContaining(reason) }]);
});

test('networks that overlap have no address asked twice', () => {
  const networks = [aNetwork('one', '192.0.2.0/29'), aNetwork('two', '192.0.2.0/28')];
  const { addresses } = sweepOf(aPlan({ networks }));
  expect(new Set(addresses).size).toBe(addresses.length);
  expect(addresses).toHaveLength(14);
});
