import type { NetworkInterfaceInfo } from 'node:os';
import { expect, it } from 'vitest';
import { zoned } from '../../src/system/zone.js';

const row = (address: string, scopeid: number): NetworkInterfaceInfo => ({
  address,
  netmask: 'ffff:ffff:ffff:ffff::',
  family: 'IPv6',
  mac: '00:00:5e:00:53:05',
  internal: false,
  cidr: `${address}/64`,
  scopeid,
});
const on = (platform: string, port: string) => ({
  platform,
  networkInterfaces: () => ({ [port]: [row('2001:db8::5', 0), row('fe80::5', 12)] }),
});

// RFC 4007 §11.2: `<address>%<zone_id>`; the zone is the port's name on Linux and macOS, its number on Windows (learn.microsoft.com, ping).
it.each([
  ['linux', 'eth0', 'fe80::1%eth0'],
  ['darwin', 'en0', 'fe80::1%en0'],
  ['win32', 'Ethernet', 'fe80::1%12'],
])('a link-local address on %s comes with its port: %s', (platform, port, text) => {
  expect(zoned(on(platform, port), 'fe80::1', port)).toBe(text);
});

it('no other address does, nor one whose port is not known', () => {
  for (const address of ['192.0.2.7', '169.254.1.1', '2001:db8::1', '::1'])
    expect(zoned(on('linux', 'eth0'), address, 'eth0')).toBe(address);
  expect(zoned(on('linux', 'eth0'), 'fe80::1', undefined)).toBe('fe80::1');
});
