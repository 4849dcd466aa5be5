import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  isGroupMac,
  isLocallyAdministered,
  isVirtualRouterMac,
  macFromBytes,
  parseMac,
} from '../../src/plan/mac.js';

const CANONICAL = '00:00:5e:00:53:ab';

test.each([
  '00:00:5e:00:53:ab',
  '00-00-5E-00-53-AB',
  '0000.5e00.53ab',
  '00005E0053AB',
  '00005e-0053ab',
  ' 00:00:5E:00:53:AB ',
])('%j is one address', (text) => {
  expect(parseMac(text)).toBe(CANONICAL);
});

test.each([
  '',
  '00:00:5e:00:53',
  '00:00:5e:00:53:ab:cd',
  '00:00-5e:00:53:ab',
  '00:00:5e:00:53:ag',
  '0:0:5e:0:53:ab',
  '0000.5e00.53a',
])('%j is none', (text) => {
  expect(parseMac(text)).toBeUndefined();
});

test.each([
  // RFC 9542 §2.1.1: 0x01 of the first octet is the group bit, 0x02 the local bit; §2.1.3 and §2.1.4 for the blocks.
  ['00:00:5e:00:53:01', false, false],
  ['01:00:5e:90:10:00', true, false],
  ['02:00:5e:00:53:01', false, true],
  ['ff:ff:ff:ff:ff:ff', true, true],
])('%s: group %s, local %s', (mac, group, local) => {
  expect([isGroupMac(mac), isLocallyAdministered(mac)]).toEqual([group, local]);
});

test.each([
  // RFC 9568 §7.3: VRID 1 to 255 in the last octet.
  ['00:00:5e:00:01:01', true],
  ['00:00:5e:00:02:ff', true],
  ['00:00:5e:00:01:00', false],
  ['00:00:5e:00:03:01', false],
  ['00:00:5e:00:53:01', false],
])('%s belongs to a virtual router: %s', (mac, virtual) => {
  expect(isVirtualRouterMac(mac)).toBe(virtual);
});

test('six bytes and their text are two forms of one address', () => {
  fc.assert(
    fc.property(fc.uint8Array({ minLength: 6, maxLength: 6 }), (bytes) => {
      const mac = macFromBytes(bytes);
      expect(parseMac(mac)).toBe(mac);
      expect(parseMac(mac.replaceAll(':', ''))).toBe(mac);
      expect(parseMac(mac.replaceAll(':', '-').toUpperCase())).toBe(mac);
    }),
  );
});
