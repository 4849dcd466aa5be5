import { expect, it } from 'vitest';
import { watchPorts } from '../../src/system/port-watch.js';

const row = (address: string) => ({
  address,
  netmask: '255.255.255.0',
  family: address.includes(':') ? ('IPv6' as const) : ('IPv4' as const),
  mac: '00:00:5e:00:53:05',
  internal: false,
  cidr: `${address}/24`,
  ...(address.includes(':') ? { scopeid: 0 } : {}),
});

function watched(first: Record<string, string[]>) {
  let listed = first;
  let nowMs = 0;
  const networkInterfaces = () =>
    Object.fromEntries(Object.entries(listed).map(([port, all]) => [port, all.map(row)])) as never;
  const watch = watchPorts({ networkInterfaces }, { now: () => nowMs }, 3_600_000);
  return {
    watch,
    at: (ms: number, ports: Record<string, string[]>) => {
      nowMs = ms;
      listed = ports;
      return watch.lostSince('eth0', 0);
    },
  };
}

const HERE = { eth0: ['192.0.2.5'], eth1: ['198.51.100.5'] };

it('says nothing of ports that stayed as they were', () => {
  const { watch, at } = watched(HERE);
  expect(at(10, HERE)).toBe(false);
  expect(watch.notes()).toEqual([]);
  watch.stop();
});

it('remembers that a port was away after it came back, and only for that time', () => {
  const { watch, at } = watched(HERE);
  expect(at(100, { eth1: ['198.51.100.5'] })).toBe(true);
  expect(at(200, HERE)).toBe(true);
  expect(watch.lostSince('eth0', 201)).toBe(false);
  expect(watch.lostSince('eth1', 0)).toBe(false);
  expect(watch.notes()).toEqual([expect.stringMatching(/eth0 lost its link.*came back/)]);
  watch.stop();
});

it('takes an address that changed for a loss that lasts; an address more, or a temporary IPv6 one less, for none', () => {
  const { watch, at } = watched({ eth0: ['192.0.2.5', '2001:db8::5'] });
  expect(at(10, { eth0: ['192.0.2.5', '192.0.2.6'] })).toBe(false);
  expect(at(20, { eth0: ['192.0.2.99'] })).toBe(true);
  expect(at(30, { eth0: ['192.0.2.99'] })).toBe(true);
  expect(watch.lostSince('eth0', 30)).toBe(true);
  expect(watch.notes()[0]).toContain('192.0.2.5');
  watch.stop();
});
