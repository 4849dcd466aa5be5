import { expect, test } from 'vitest';
import { parseWwpn } from '../../src/plan/wwpn.js';

/** NAA 1 with a documentation MAC (RFC 9542 §2.1.4); the notations are common practice, no source. */
const NAME = '10:00:00:00:5e:00:53:01';

test.each([
  NAME,
  '10:00:00:00:5E:00:53:01',
  '10-00-00-00-5e-00-53-01',
  '1000.0000.5e00.5301',
  '1000:0000:5e00:5301',
  '100000005E005301',
  '0x100000005e005301',
  'naa.100000005e005301',
  ' wwpn: 10:00:00:00:5e:00:53:01 ',
])('%s is the one name', (text) => {
  expect(parseWwpn(text)).toBe(NAME);
});

test.each([
  ['a MAC address', '00:00:5e:00:53:01'],
  ['a digit short', '100000005e00530'],
  ['a digit too many', '100000005e0053011'],
  ['mixed separators', '10:00-00:00:5e:00:53:01'],
  ['no hex', '10:00:00:00:5e:00:53:0g'],
  ['sixteen zeros', '0000000000000000'],
  ['nothing', ''],
])('%s is none', (_, text) => {
  expect(parseWwpn(text)).toBeUndefined();
});
