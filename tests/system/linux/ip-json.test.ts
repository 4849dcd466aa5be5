import { describe, expect, it } from 'vitest';
import { parseIpAddr, parseIpRoute } from '../../../src/system/linux/ip-json.js';
import { osOutput } from '../os-output.js';

describe('ip -j addr (iproute2 6.1.0)', () => {
  it('gives each port with its addresses, MTU and whether a cable is in', () => {
    expect(parseIpAddr(osOutput('ipaddr-linux.json'))).toEqual([
      { name: 'lo', mac: '00:00:00:00:00:00', addresses: ['127.0.0.1/8', '::1/128'], mtu: 65536, up: true },
      {
        name: 'eth0',
        mac: '00:00:5e:00:53:05',
        addresses: ['192.0.2.5/24', '2001:db8:0:10::5/64', 'fe80::200:5eff:fe00:5305/64'],
        mtu: 1500,
        up: true,
      },
      { name: 'eth1', mac: '00:00:5e:00:53:06', addresses: ['198.51.100.5/25'], mtu: 1500, up: false },
    ]);
  });

  it.each(['no JSON', '{"a":1}', '"text"'])('is undefined for %s', (text) => {
    expect(parseIpAddr(text)).toBeUndefined();
  });

  it('passes over rows that are nothing', () => {
    expect(
      parseIpAddr('[{},null,7,{"ifname":"x","addr_info":[{"local":"300.1.1.1","prefixlen":24}]}]'),
    ).toEqual([{ name: 'x', mac: '', addresses: [], up: false }]);
  });
});

describe('ip -j route (iproute2 6.1.0)', () => {
  it('keeps usable routes by preference: no dead link, no unreachable, each gateway of two', () => {
    expect(parseIpRoute(osOutput('route-linux.json'), 4)).toEqual([
      { destination: '192.0.2.0/24', interface: 'eth0' },
      { destination: '198.51.100.128/25', interface: 'eth0', gateway: '192.0.2.7' },
      { destination: '198.51.100.128/25', interface: 'eth0', gateway: '192.0.2.8' },
      { destination: '203.0.113.0/24', interface: 'eth0', gateway: '192.0.2.254' },
      { destination: '0.0.0.0/0', interface: 'eth0', gateway: '192.0.2.2' },
      { destination: '0.0.0.0/0', interface: 'eth0', gateway: '192.0.2.1' },
    ]);
  });

  it('reads IPv6 routes', () => {
    expect(parseIpRoute(osOutput('route-linux-ipv6.json'), 6)).toContainEqual({
      destination: '::/0',
      interface: 'eth0',
      gateway: 'fe80::1',
    });
  });

  it('takes silence for an empty table', () => {
    expect(parseIpRoute('', 6)).toEqual([]);
  });

  it('reads a host route without a prefix length, and an IPv4 route by an IPv6 router (RFC 8950)', () => {
    const text = '[{"dst":"203.0.113.7","via":{"family":"inet6","host":"fe80::1"},"dev":"eth0"}]';
    expect(parseIpRoute(text, 4)).toEqual([
      { destination: '203.0.113.7/32', interface: 'eth0', gateway: 'fe80::1' },
    ]);
  });
});
