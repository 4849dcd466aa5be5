import { expect, it } from 'vitest';
import { parseNetstat } from '../../../src/system/macos/netstat.js';
import { osOutput } from '../os-output.js';

const routes = parseNetstat(osOutput('route-macos.txt'));

it('completes the short destinations of macOS', () => {
  expect(routes).toContainEqual({ destination: '127.0.0.0/8', interface: 'lo0' });
  expect(routes).toContainEqual({ destination: '192.0.2.0/24', interface: 'en0' });
  expect(routes).toContainEqual({ destination: '198.51.100.0/25', interface: 'en0', gateway: '192.0.2.254' });
  expect(routes).toContainEqual({ destination: '0.0.0.0/0', interface: 'en0', gateway: '192.0.2.1' });
});

it('reads IPv6 with its zones', () => {
  expect(routes).toContainEqual({ destination: '::/0', interface: 'en0', gateway: 'fe80::1' });
  expect(routes).toContainEqual({ destination: 'fe80::/64', interface: 'en0' });
});

// Shape of two defaults published at superuser.com/questions/441075 (flag I); the addresses are ours.
it('leaves out routes that count for bound sockets alone, but for link-local destinations', () => {
  expect(routes.filter((route) => route.destination === '::/0')).toHaveLength(1);
  const two = parseNetstat(`Internet:
Destination        Gateway            Flags        Refs      Use   Netif Expire
default            203.0.113.1        UGScI            1        0     en0
default            192.0.2.1          UGSc            14        0     en2
192.0.2            link#4             UCS              1        0     en2
192.0.2            link#5             UCSI             0        0     en0
`);
  expect(two).toEqual([
    { destination: '0.0.0.0/0', interface: 'en2', gateway: '192.0.2.1' },
    { destination: '192.0.2.0/24', interface: 'en2' },
  ]);
});

it('leaves out neighbours and rejecting routes', () => {
  expect(routes.some((route) => route.destination === '203.0.113.128/25')).toBe(false);
  expect(routes.filter((route) => route.destination === '192.0.2.1/32')).toHaveLength(1);
});

// Shapes published in the tests of a public program that reads a real table (stored index of public repositories, file 71011740716): a tunnel
// that takes all in halves, and prefixes that end within an octet. The gateways are ours.
it('completes destinations that end within an octet', () => {
  const halves = parseNetstat(`Internet:
Destination        Gateway            Flags               Netif Expire
1                  203.0.113.1        UGSc               utun49
2/7                203.0.113.1        UGSc               utun49
128.0/1            203.0.113.1        UGSc               utun49
10/16              link#7             UCS                   en0      !
100.129.160/20     link#11            UCS                   en0      !
203.0.113.1        203.0.113.1        UH                 utun49
`);
  expect(halves.map(({ destination, interface: port }) => [destination, port])).toEqual([
    ['1.0.0.0/8', 'utun49'],
    ['2.0.0.0/7', 'utun49'],
    ['128.0.0.0/1', 'utun49'],
    ['10.0.0.0/16', 'en0'],
    ['100.129.160.0/20', 'en0'],
    ['203.0.113.1/32', 'utun49'],
  ]);
});
