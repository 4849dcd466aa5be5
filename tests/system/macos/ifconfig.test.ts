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

// From memory: what -v adds.
it('tells radio from wire by the type that -v adds, and reads the MTU before the index', () => {
  const verbose = `en0: flags=8863<UP,BROADCAST,SMART,RUNNING,SIMPLEX,MULTICAST> mtu 1500 index 14
\teflags=412008084<ACCEPT_RTADV,TXSTART>
\tether 00:00:5e:00:53:05
\tinet 192.0.2.5 netmask 0xffffff00 broadcast 192.0.2.255
\tmedia: autoselect
\tstatus: active
\ttype: Wi-Fi
en7: flags=8863<UP,BROADCAST,SMART,RUNNING,SIMPLEX,MULTICAST> mtu 9000 index 20
\tether 00:00:5e:00:53:06
\tstatus: active
\ttype: Ethernet
`;
  expect(parseIfconfig(verbose)).toMatchObject([
    { name: 'en0', mtu: 1500, up: true, wireless: true, addresses: ['192.0.2.5/24'] },
    { name: 'en7', mtu: 9000, up: true, wireless: false },
  ]);
});

it('finds nothing in other text', () => {
  expect(parseIfconfig('ifconfig: command not found\n')).toEqual([]);
  expect(parseIfconfig('')).toEqual([]);
});
