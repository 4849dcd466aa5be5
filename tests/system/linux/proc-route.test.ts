import { expect, it } from 'vitest';
import { parseIpRoute } from '../../../src/system/linux/ip-json.js';
import { parseProcIpv6Route, parseProcRoute } from '../../../src/system/linux/proc-route.js';
import { osOutput } from '../os-output.js';

it('reads the same IPv4 routes from /proc/net/route as ip tells, of the same machine', () => {
  const proc = parseProcRoute(osOutput('route-linux-proc.txt'));
  const told = parseIpRoute(osOutput('route-linux.json'), 4) ?? [];
  // /proc shows the route of the port without a cable, and the first gateway of two alone.
  const extra = { destination: '198.51.100.0/25', interface: 'eth1' };
  const comparable = told.filter((route) => route.gateway !== '192.0.2.8');
  expect(proc).toEqual(expect.arrayContaining(comparable));
  expect(proc).toContainEqual(extra);
  expect(proc).toHaveLength(comparable.length + 1);
});

it('orders the defaults by metric', () => {
  const defaults = parseProcRoute(osOutput('route-linux-proc.txt')).filter(
    (r) => r.destination === '0.0.0.0/0',
  );
  expect(defaults.map((route) => route.gateway)).toEqual(['192.0.2.2', '192.0.2.1']);
});

it('reads IPv6 routes and leaves rejecting ones out', () => {
  const routes = parseProcIpv6Route(osOutput('route-linux-proc-ipv6.txt'));
  expect(routes).toContainEqual({ destination: '::/0', interface: 'eth0', gateway: 'fe80::1' });
  expect(routes).toContainEqual({ destination: '2001:db8:0:10::/64', interface: 'eth0' });
  expect(routes.some((route) => route.interface === 'lo' && route.destination === '::/0')).toBe(false);
});

it.each([
  '',
  'Iface\tDestination',
  'header\neth0 XX YY 0003 0 0 0 00000000',
  'header\neth0 00000000 010200C0 0003 0 0 0 00FF00FF',
])('finds nothing in %j', (text) => {
  expect(parseProcRoute(text)).toEqual([]);
  expect(parseProcIpv6Route(text)).toEqual([]);
});
