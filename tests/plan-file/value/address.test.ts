import { expect, test } from 'vitest';
import { readAddress, readCidr, readRange } from '../../../src/plan-file/value/address.js';

test.each([
  ['192.0.2.7', { address: '192.0.2.7' }],
  ['192.0.2.7/24', { address: '192.0.2.7', prefixBits: 24 }],
  ['192.0.2.7 /24', { address: '192.0.2.7', prefixBits: 24 }],
  ['192.0.2.7 255.255.255.0', { address: '192.0.2.7', prefixBits: 24 }],
  ['192.0.2.7/255.255.252.0', { address: '192.0.2.7', prefixBits: 22 }],
  ['192.0.2.7/0.0.0.0', { address: '192.0.2.7', prefixBits: 0 }],
  ['2001:DB8::7/64', { address: '2001:db8::7', prefixBits: 64 }],
  ['[2001:db8::7]', { address: '2001:db8::7' }],
  // RFC 6943 §3.1.1: some readers take a leading zero for octal. Where that changes nothing there is one meaning.
  ['192.000.002.007', { address: '192.0.2.7' }],
  ['192.0.2.08', { address: '192.0.2.8' }],
  ['192.0.2.099', { address: '192.0.2.99' }],
])('%s', (text, value) => {
  expect(readAddress(text)).toEqual({ ok: true, value });
});

test.each([
  ['192.0.2.010', '192.0.2.10', '192.0.2.8'],
  ['192.168.001.020', '192.168.1.20', '192.168.1.16'],
  ['010.0.0.1', '10.0.0.1', '8.0.0.1'],
  ['010.0.0.1/8', '10.0.0.1', '8.0.0.1'],
])('%s means %s or %s', (text, decimal, octal) => {
  const reading = readAddress(text);
  expect(reading).toMatchObject({ ok: false, code: 'two-meanings' });
  expect(reading.ok ? '' : reading.expected).toContain(`${decimal} (decimal) or ${octal} (octal)`);
});

test.each([
  ['192.0.2.300', undefined],
  ['192.0.2', undefined],
  ['192.0.2.7/33', undefined],
  // RFC 950 appendix II has this mask; RFC 4632 §3.1 leaves no room for it.
  ['192.1.127.19/255.255.255.88', undefined],
  ['192.0.2.7-192.0.2.9', undefined],
  ['192.0.2.7 192.0.2.8 192.0.2.9', undefined],
  ['fe80::1%eth0', undefined],
  ['vault-1', undefined],
  ['192.O.2.7', '192.0.2.7'],
  ['l92.0.2.7', '192.0.2.7'],
  ['192,0,2,7', '192.0.2.7'],
  ['192.0..2.7', '192.0.2.7'],
  ['https://192.0.2.7/', '192.0.2.7'],
])('%s is refused; offered instead: %s', (text, nearest) => {
  const reading = readAddress(text);
  expect(reading).toMatchObject({ ok: false, code: 'bad-value' });
  expect(reading.ok ? undefined : reading.nearest).toBe(nearest);
});

test.each([
  ['192.0.2.1-192.0.2.9', { first: '192.0.2.1', last: '192.0.2.9' }],
  ['192.0.2.1 \u2013 192.0.2.9', { first: '192.0.2.1', last: '192.0.2.9' }],
  ['192.0.2.5', { first: '192.0.2.5', last: '192.0.2.5' }],
  ['2001:db8::1-2001:db8::f', { first: '2001:db8::1', last: '2001:db8::f' }],
  ['192.0.2.0/29', '192.0.2.0/29'],
])('the range %s', (text, value) => {
  expect(readRange(text)).toEqual({ ok: true, value });
});

test.each(['192.0.2.9-192.0.2.1', '192.0.2.1-2001:db8::1', '192.0.2.1-9', '192.0.2.1-', 'a-b'])(
  '%s is no range',
  (text) => {
    expect(readRange(text).ok).toBe(false);
  },
);

test('a network needs its prefix', () => {
  expect(readCidr('192.0.2.0/24')).toEqual({ ok: true, value: '192.0.2.0/24' });
  expect(readCidr('192.0.2.0')).toMatchObject({ ok: false, expected: 'a network as 192.0.2.0/24' });
});
