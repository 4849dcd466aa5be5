import { expect, it } from 'vitest';
import { parseIfconfig } from '../../../src/system/macos/ifconfig.js';
import { osOutput } from '../os-output.js';

it('reads ports of macOS: masks in hexadecimal, zones cut off, a port without a cable down', () => {
  const ports = parseIfconfig(osOutput('ipaddr-macos.txt'));
  expect(ports.map(({ name, up, mtu }) => [name, up, mtu])).toEqual([
    ['lo0', true, 16384],
    ['gif0', false, 1280],
    ['en0', true, 1500],
    ['en5', false, 9000],
    ['utun0', true, 1380],
  ]);
  expect(ports[2]).toMatchObject({
    mac: '00:00:5e:00:53:05',
    addresses: ['192.0.2.5/24', '198.51.100.126/25', 'fe80::200:5eff:fe00:5305/64', '2001:db8:0:10::5/64'],
  });
  expect(ports[4]).toMatchObject({ mac: '', addresses: ['203.0.113.9/32', 'fe80::9/64'] });
});

it('finds nothing in other text', () => {
  expect(parseIfconfig('ifconfig: command not found\n')).toEqual([]);
  expect(parseIfconfig('')).toEqual([]);
});
