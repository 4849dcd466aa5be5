import { describe, expect, test } from 'vitest';
import { networkFinder } from '../../src/plan/network-finder.js';
import { indexOf } from '../../src/plan/plan-index.js';
import { aNetwork, anEndpoint, aPlan } from '../support/evidence.js';

const WIDE = aNetwork('site', '192.0.2.0/24');
const NARROW = aNetwork('desk', '192.0.2.64/26');
const FABRIC = aNetwork('fabric-a');

describe('which network holds an address', () => {
  const at = networkFinder([FABRIC, WIDE, NARROW, aNetwork('six', '2001:db8::/64')]);

  // RFC 4632 §5.1: the longest match.
  test.each([
    ['the narrower one', '192.0.2.70', 'desk'],
    ['the wider one beside it', '192.0.2.130', 'site'],
    ['its own family', '2001:db8::7', 'six'],
    ['none', '198.51.100.1', undefined],
  ])('%s', (_, address, expected) => expect(at(address)?.name).toBe(expected));
});

test('an endpoint is in the network that it names, else in the one that its address lies in', () => {
  const plan = aPlan({ networks: [WIDE, NARROW, FABRIC] });
  const of = (network: string | undefined, address: string | undefined) =>
    indexOf(plan).networkOf(anEndpoint('vault-1/mgmt', { network, address }))?.name;
  expect(of('site', '192.0.2.70')).toBe('site');
  expect(of(undefined, '192.0.2.70')).toBe('desk');
  expect(of('fabric-a', undefined)).toBe('fabric-a');
  expect(of(undefined, undefined)).toBeUndefined();
});
