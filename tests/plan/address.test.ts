import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  blockOf,
  canonicalCidr,
  cidrContains,
  cidrsOverlap,
  compareAddresses,
  fromNumber,
  hostsOf,
  needsZone,
  parseAddress,
  parseCidr,
  rangeContains,
  specialInBlock,
  toNumber,
  usableRange,
  withoutZone,
} from '../../src/plan/address.js';

describe('blocks', () => {
  test.each([
    // RFC 4632 §3.1: number of addresses; RFC 1878 tables: hosts of a subnet; RFC 3021 §2.1: two on a /31.
    [16, 65_536, 65_534],
    [20, 4096, 4094],
    [21, 2048, 2046],
    [22, 1024, 1022],
    [23, 512, 510],
    [24, 256, 254],
    [25, 128, 126],
    [26, 64, 62],
    [27, 32, 30],
    [28, 16, 14],
    [29, 8, 6],
    [30, 4, 2],
    [31, 2, 2],
    [32, 1, 1],
  ])('/%i has %i addresses, %i of them for hosts', (bits, addresses, hosts) => {
    const cidr = `10.24.0.0/${bits}`;
    const { first, last } = blockOf(cidr);
    expect(Number(last - first + 1n)).toBe(addresses);
    expect(Number(usableRange(cidr).count)).toBe(hosts);
  });

  test('RFC 4632 §6.1: 10.24.0.0/13 goes to 10.31.255.255 and has 2^19 addresses', () => {
    const { first, last } = blockOf('10.24.0.0/13');
    expect([fromNumber(first, 4), fromNumber(last, 4), last - first + 1n]).toEqual([
      '10.24.0.0',
      '10.31.255.255',
      524_288n,
    ]);
  });

  test('RFC 4632 §6.1: the blocks handed out do not overlap, and only the last lies outside the /13', () => {
    const given = [
      '10.24.0.0/21',
      '10.24.16.0/20',
      '10.24.8.0/22',
      '10.24.12.0/22',
      '10.24.32.0/23',
      '10.24.34.0/23',
      '10.32.0.0/20',
    ];
    for (const [i, a] of given.entries())
      for (const b of given.slice(i + 1)) expect([a, b, cidrsOverlap(a, b)]).toEqual([a, b, false]);
    expect(given.filter((cidr) => !cidrsOverlap('10.24.0.0/13', cidr))).toEqual(['10.32.0.0/20']);
  });

  test.each([
    // RFC 950 appendix II: a host, its mask as a prefix, its gateway, and the subnet of both.
    ['36.40.0.123', 16, '36.40.0.62', '36.40.0.0/16', '36.40.255.255'],
    ['128.99.4.123', 22, '128.99.4.62', '128.99.4.0/22', '128.99.7.255'],
  ])('RFC 950: %s/%i and gateway %s share %s', (host, bits, gateway, subnet, last) => {
    expect(canonicalCidr(`${host}/${bits}`)).toBe(subnet);
    expect(cidrContains(subnet, gateway)).toBe(true);
    expect(fromNumber(blockOf(subnet).last, 4)).toBe(last);
  });

  test.each([
    // RFC 1878, the /30 rows; RFC 3021 §2.2: no broadcast on a /31.
    ['192.0.2.0/30', '192.0.2.0', 'network'],
    ['192.0.2.0/30', '192.0.2.3', 'broadcast'],
    ['192.0.2.0/30', '192.0.2.1', undefined],
    ['192.0.2.0/31', '192.0.2.0', undefined],
    ['192.0.2.254/31', '192.0.2.255', undefined],
    ['192.0.2.7/32', '192.0.2.7', undefined],
    ['2001:db8::/64', '2001:db8::', undefined],
  ])('in %s the address %s is %s', (cidr, address, special) => {
    expect(specialInBlock(cidr, address)).toBe(special);
  });

  test('hosts of a /29, in order', () => {
    expect([...hostsOf('192.0.2.8/29')]).toEqual([9, 10, 11, 12, 13, 14].map((n) => `192.0.2.${n}`));
  });
});

describe('text', () => {
  test.each([
    // RFC 5952 §4: lower case, leading zeros dropped, the longest run of zeros shortened.
    ['2001:DB8:0:0:0:0:0:7', '2001:db8::7'],
    ['2001:0db8::0001', '2001:db8::1'],
    ['2001:db8:0:0:1:0:0:1', '2001:db8::1:0:0:1'],
    ['2001:db8:0:1:1:1:1:1', '2001:db8:0:1:1:1:1:1'],
    ['192.0.2.7', '192.0.2.7'],
  ])('%s is %s', (written, canonical) => {
    expect(parseAddress(written)).toBe(canonical);
  });

  test.each([
    '192.0.2.300',
    '192.0.2',
    '3221225993',
    '0xc0000207',
    '192.0.2.07',
    '192.0.2.7/24',
    'fe80::1%eth0',
    '',
    ' ',
    '::g',
    '1:2:3:4:5:6:7:8:9',
  ])('%j is no address', (text) => {
    expect(parseAddress(text)).toBeUndefined();
  });

  test.each(['192.0.2.0/33', '192.0.2.0/', '192.0.2.0/-1', '192.0.2.0/024', '2001:db8::/129', '/24'])(
    '%j is no block',
    (text) => {
      expect(parseCidr(text)).toBeUndefined();
    },
  );
});

describe('properties', () => {
  const v4 = fc.bigInt({ min: 0n, max: (1n << 32n) - 1n });
  const v6 = fc.bigInt({ min: 0n, max: (1n << 128n) - 1n });

  test('number and text are two forms of one address', () => {
    const twoForms = (family: 4 | 6) => (value: bigint) => {
      const text = fromNumber(value, family);
      expect(toNumber(text)).toBe(value);
      expect(parseAddress(text)).toBe(text);
    };
    fc.assert(fc.property(v4, twoForms(4)));
    fc.assert(fc.property(v6, twoForms(6)));
  });

  test('RFC 950 §2.2: an address is in a block exactly when both agree under the mask', () => {
    fc.assert(
      fc.property(v4, v4, fc.integer({ min: 0, max: 32 }), (a, b, bits) => {
        const mask = bits === 0 ? 0n : ((1n << 32n) - 1n) ^ ((1n << BigInt(32 - bits)) - 1n);
        expect(cidrContains(`${fromNumber(a, 4)}/${bits}`, fromNumber(b, 4))).toBe((a & mask) === (b & mask));
      }),
    );
  });

  test('blocks overlap exactly when one contains the other', () => {
    const cidr = fc
      .tuple(v4, fc.integer({ min: 0, max: 32 }))
      .map(([value, bits]) => `${fromNumber(value, 4)}/${bits}`);
    fc.assert(
      fc.property(cidr, cidr, (a, b) => {
        const inside = (outer: string, inner: string) =>
          blockOf(outer).first <= blockOf(inner).first && blockOf(outer).last >= blockOf(inner).last;
        expect(cidrsOverlap(a, b)).toBe(inside(a, b) || inside(b, a));
        expect(cidrsOverlap(a, b)).toBe(cidrsOverlap(b, a));
      }),
    );
  });

  test('the order is that of the numbers, IPv4 before IPv6', () => {
    fc.assert(
      fc.property(v4, v4, v6, (a, b, c) => {
        const [left, right, other] = [fromNumber(a, 4), fromNumber(b, 4), fromNumber(c, 6)];
        expect(Math.sign(compareAddresses(left, right))).toBe(a < b ? -1 : a > b ? 1 : 0);
        expect(compareAddresses(left, other)).toBeLessThan(0);
        expect(rangeContains({ first: left, last: right }, left)).toBe(a <= b);
      }),
    );
  });
});

test('knows which addresses need their port, and takes it off', () => {
  expect(['fe80::1', 'febf::1', '169.254.0.1', 'fec0::1', '2001:db8::1', '::1'].map(needsZone)).toEqual([
    true,
    true,
    false,
    false,
    false,
    false,
  ]);
  expect(withoutZone('fe80::1%eth0')).toBe('fe80::1');
  expect(withoutZone('FE80:0::1')).toBe('fe80::1');
  expect(withoutZone('no address')).toBe('no address');
});
