import { expect, it } from 'vitest';
import { makerOf } from '../../src/plan/maker.js';

// RFC 9542 §2.1: 00-00-5E is the OUI of IANA.
it('names the registrant of a prefix, without the postal address', () => {
  expect(makerOf('00:00:5e:00:53:07')).toBe('ICANN, IANA Department');
});

// RFC 9568 §7.3: VRID 0 is not valid, so …:00 is no virtual router.
it('names a virtual router as such', () => {
  expect(makerOf('00:00:5e:00:01:0a')).toBe('virtual router (VRRP)');
  expect(makerOf('00:00:5e:00:02:ff')).toBe('virtual router (VRRP)');
  expect(makerOf('00:00:5e:00:01:00')).toBe('ICANN, IANA Department');
});

// Registry files of ieee-data 20220827.1: F80278 belongs to the registration authority, its MA-M children to others.
it('takes the longest prefix: an MA-M child is not named after the registration authority', () => {
  expect(makerOf('f8:02:78:00:00:01')).not.toMatch(/registration authority/i);
  expect(makerOf('f8:02:78:00:00:01')).toBeDefined();
});

// Same registry: some MA-L rows have the local bit set; the bit is a hint, not proof.
it('prefers the registry to the local bit, and tells the bit where nobody is registered', () => {
  expect(makerOf('aa:00:04:00:00:01')).not.toMatch(/locally administered/);
  expect(makerOf('02:42:ac:11:00:02')).toMatch(/locally administered/);
});

it('knows nothing of a prefix that nobody registered', () => {
  expect(makerOf('f4:00:00:00:00:01')).toBeUndefined();
});
