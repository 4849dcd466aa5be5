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

it('leaves out neighbours and rejecting routes', () => {
  expect(routes.some((route) => route.destination === '203.0.113.128/25')).toBe(false);
  expect(routes.filter((route) => route.destination === '192.0.2.1/32')).toHaveLength(1);
});
