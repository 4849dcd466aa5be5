import { expect, test } from 'vitest';
import { canonicalCidr } from '../../src/plan/address.js';
import { SPECIAL_RANGES, specialRangeOf } from '../../src/plan/special-ranges.js';

test.each([
  // RFC 1918 §3: the private blocks and the addresses just outside them.
  ['10.255.255.255', 'private use'],
  ['11.0.0.0', undefined],
  ['172.15.255.255', undefined],
  ['172.16.0.0', 'private use'],
  ['172.31.255.255', 'private use'],
  ['172.32.0.0', undefined],
  ['192.168.0.1', 'private use'],
  // RFC 6890 table 3: 100.64.0.0/10 ends at 100.127.255.255.
  ['100.127.255.255', 'shared address space'],
  ['100.128.0.0', undefined],
  // RFC 2544 appendix C.2.2.1: test ports 198.18.1.1 and 198.19.1.1.
  ['198.18.1.1', 'benchmarking'],
  ['198.19.1.1', 'benchmarking'],
  ['198.20.0.0', undefined],
  // RFC 6890 tables 7 and 8: the /29 lies in the /24.
  ['192.0.0.1', 'DS-Lite'],
  ['192.0.0.8', 'IETF protocol assignments'],
  ['192.0.2.7', 'documentation (TEST-NET-1)'],
  ['169.254.1.0', 'link-local'],
  ['127.0.0.1', 'loopback'],
  ['255.255.255.255', 'limited broadcast'],
  ['240.0.0.1', 'reserved'],
  ['::1', 'loopback'],
  ['2001:db8::7', 'documentation'],
  // RFC 9637 §6.
  ['3fff:fff::1', 'documentation'],
  ['fd00::1', 'unique-local'],
  ['fe80::1', 'link-scoped unicast'],
  ['2606:4700::1', undefined],
])('%s: %s', (address, name) => {
  expect(specialRangeOf(address)?.name).toBe(name);
});

test('every block stands in its canonical form', () => {
  for (const { cidr } of SPECIAL_RANGES) expect(canonicalCidr(cidr)).toBe(cidr);
});
