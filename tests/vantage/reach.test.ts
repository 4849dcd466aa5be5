import { describe, expect, it } from 'vitest';
import type { Vantage, VantageInterface, VantageRoute } from '../../src/sighting/types.js';
import { reachOf } from '../../src/vantage/reach.js';
import { aVantage } from '../support/evidence.js';

const LO: VantageInterface = {
  name: 'lo',
  mac: '00:00:00:00:00:00',
  addresses: ['127.0.0.1/8', '::1/128'],
  up: true,
};
const ETH0: VantageInterface = {
  name: 'eth0',
  mac: '00:00:5e:00:53:05',
  addresses: ['192.0.2.5/24', '2001:db8:0:10::5/64'],
  up: true,
};
const ETH1: VantageInterface = {
  name: 'eth1',
  mac: '00:00:5e:00:53:06',
  addresses: ['198.51.100.5/25'],
  up: true,
};
const TUNNEL: VantageInterface = { name: 'tun0', mac: '', addresses: ['203.0.113.9/32'], up: true };

function from(interfaces: readonly VantageInterface[], routes: readonly VantageRoute[] = []): Vantage {
  return aVantage({ interfaces: [LO, ...interfaces], routes });
}

const DEFAULT: VantageRoute = { destination: '0.0.0.0/0', interface: 'eth0', gateway: '192.0.2.1' };

describe('on-link', () => {
  // RFC 1122 §3.3.1.1: same network number under the mask of an interface = directly connected.
  it('is what an own prefix holds, with the interface and the source', () => {
    expect(reachOf(from([ETH0, ETH1]), '198.51.100.20')).toMatchObject({
      reach: 'on-link',
      interface: 'eth1',
      sourceAddress: '198.51.100.5',
      own: false,
    });
  });

  it('ends where the prefix ends: .127 is in the /25, .128 is not', () => {
    expect(reachOf(from([ETH1]), '198.51.100.127').reach).toBe('on-link');
    expect(reachOf(from([ETH1]), '198.51.100.128').reach).toBe('no-route');
  });

  it('is IPv6 too', () => {
    expect(reachOf(from([ETH0]), '2001:db8:0:10::77')).toMatchObject({ reach: 'on-link', interface: 'eth0' });
    expect(reachOf(from([ETH0]), '2001:db8:0:11::77').reach).toBe('no-route');
  });

  it('is a route without a gateway by an Ethernet port, not one into a tunnel', () => {
    const routes = [
      { destination: '203.0.113.0/25', interface: 'eth0' },
      { destination: '203.0.113.128/25', interface: 'tun0' },
    ];
    expect(reachOf(from([ETH0, TUNNEL], routes), '203.0.113.7').reach).toBe('on-link');
    expect(reachOf(from([ETH0, TUNNEL], routes), '203.0.113.200').reach).toBe('routed');
  });

  it('is the own address, and said to be', () => {
    expect(reachOf(from([ETH0]), '192.0.2.5')).toMatchObject({
      reach: 'on-link',
      own: true,
      interface: 'eth0',
    });
  });

  // RFC 1122 §3.2.1.3 (g): 127/8 is the host itself.
  it.each(['127.0.0.1', '127.9.9.9', '::1'])('is loopback for %s, which is not called own', (address) => {
    expect(reachOf(from([ETH0]), address)).toMatchObject({
      reach: 'on-link',
      loopback: true,
      own: false,
      interface: 'lo',
    });
  });
});

describe('routed', () => {
  // RFC 1812 §5.2.4.3: longest match.
  it('is by the longest prefix, and a default by any', () => {
    const routes = [DEFAULT, { destination: '203.0.113.0/24', interface: 'eth1', gateway: '198.51.100.1' }];
    expect(reachOf(from([ETH0, ETH1], routes), '203.0.113.9')).toMatchObject({
      reach: 'routed',
      interface: 'eth1',
      gateway: '198.51.100.1',
      sourceAddress: '198.51.100.5',
    });
    expect(reachOf(from([ETH0, ETH1], routes), '10.0.0.1')).toMatchObject({ gateway: '192.0.2.1' });
  });

  it('wins over an own prefix where it is longer', () => {
    const routes = [{ destination: '192.0.2.128/25', interface: 'eth0', gateway: '192.0.2.1' }];
    expect(reachOf(from([ETH0], routes), '192.0.2.200').reach).toBe('routed');
    expect(reachOf(from([ETH0], routes), '192.0.2.100').reach).toBe('on-link');
  });

  it('takes the first of equal routes', () => {
    const second = { destination: '0.0.0.0/0', interface: 'eth1', gateway: '198.51.100.1' };
    expect(reachOf(from([ETH0, ETH1], [second, DEFAULT]), '10.0.0.1').gateway).toBe('198.51.100.1');
  });

  it('is not sure where routes are unknown, and says so', () => {
    const vantage = { ...from([ETH0]), routesUnknown: 'ip is not installed' };
    expect(reachOf(vantage, '203.0.113.9')).toMatchObject({
      reach: 'routed',
      reason: expect.stringContaining('ip is not installed'),
    });
  });
});

describe('no-route', () => {
  it('is what nothing leads to', () => {
    expect(reachOf(from([ETH0]), '203.0.113.9')).toEqual({
      reach: 'no-route',
      own: false,
      loopback: false,
      reason: 'this laptop has no route to 203.0.113.9',
    });
  });

  it('names the port whose cable is out', () => {
    const reach = reachOf(from([{ ...ETH0, up: false }]), '192.0.2.9');
    expect(reach).toMatchObject({ reach: 'no-route', interface: 'eth0' });
    expect(reach.reason).toMatch(/eth0 .* no link/);
  });

  it('does not go by a port that is down, whatever the routes say', () => {
    expect(reachOf(from([{ ...ETH0, up: false }], [DEFAULT]), '203.0.113.9').reach).toBe('no-route');
  });

  it('stays so with unknown routes where the family has no address here', () => {
    const vantage = { ...from([ETH1]), routesUnknown: 'no program' };
    expect(reachOf(vantage, '2001:db8::9').reach).toBe('no-route');
  });
});

describe('a laptop whose prefix is not the planned one', () => {
  const wide = from([{ ...ETH0, addresses: ['192.0.0.5/8'] }]);

  it('says so where its own prefix takes in more than the planned network and it does not stand in it', () => {
    expect(reachOf(wide, '192.0.2.20', '192.0.2.0/24')).toMatchObject({
      reach: 'on-link',
      widerThanPlanned: '192.0.0.5/8',
    });
  });

  it.each([
    ['its address lies in the planned network', from([{ ...ETH0, addresses: ['192.0.2.5/8'] }])],
    ['its prefix is the planned one', from([ETH0])],
    ['its prefix is smaller', from([{ ...ETH0, addresses: ['192.0.2.5/27'] }])],
  ])('has nothing to say where %s', (_why, vantage) => {
    expect(reachOf(vantage, '192.0.2.20', '192.0.2.0/24').widerThanPlanned).toBeUndefined();
  });
});

describe('two ports in one network', () => {
  const both = [{ ...ETH0, name: 'wlan0', addresses: ['192.0.2.6/24'] }, ETH0];
  const routes = (first: string, second: string): VantageRoute[] =>
    [first, second].map((name) => ({ destination: '192.0.2.0/24', interface: name }));

  it.each([
    ['eth0', 'wlan0'],
    ['wlan0', 'eth0'],
  ])('are asked by the one whose route the system prefers: %s', (first, second) => {
    expect(reachOf(from(both, routes(first, second)), '192.0.2.20').interface).toBe(first);
  });

  it('are asked on the link even where another route of the same size has a router', () => {
    const routed = { destination: '192.0.2.0/24', interface: 'eth0', gateway: '192.0.2.1' };
    expect(reachOf(from([ETH0], [routed]), '192.0.2.20')).toMatchObject({ reach: 'on-link' });
  });
});

// RFC 4007 §6: each port is a zone of its own for fe80::/10, so that an address alone does not say which cable it is on.
describe('a link-local address of IPv6', () => {
  const A = { ...ETH0, addresses: [...ETH0.addresses, 'fe80::5/64'] };
  const B = { ...ETH1, addresses: [...ETH1.addresses, 'fe80::6/64'] };

  it('is on the one port with link that has such a network', () => {
    expect(reachOf(from([A, ETH1]), 'fe80::77')).toMatchObject({
      reach: 'on-link',
      interface: 'eth0',
      sourceAddress: 'fe80::5',
    });
    expect(reachOf(from([A, { ...B, up: false }]), 'fe80::77').interface).toBe('eth0');
  });

  it('is on a port that is not known where there are several, and says what helps', () => {
    const reach = reachOf(from([A, B]), 'fe80::77');
    expect(reach).toMatchObject({ reach: 'no-route', cause: 'port-unknown' });
    expect(reach.interface).toBeUndefined();
    expect(reach.reason).toContain('eth0 and eth1');
  });

  it('is on the port of the network that it is planned beside', () => {
    expect(reachOf(from([A, B]), 'fe80::77', undefined, ['198.51.100.0/25']).interface).toBe('eth1');
    expect(reachOf(from([A, B]), 'fe80::77', undefined, ['203.0.113.0/24']).cause).toBe('port-unknown');
  });

  it('has no way where no port with link has such a network; the own one is known', () => {
    expect(reachOf(from([ETH0]), 'fe80::77')).toMatchObject({ reach: 'no-route', own: false });
    expect(reachOf(from([ETH0]), 'fe80::77').cause).toBeUndefined();
    expect(reachOf(from([A, B]), 'fe80::6')).toMatchObject({ own: true, interface: 'eth1' });
  });
});
