/** What is read from programs of a shell elsewhere. Their outputs: from memory of iproute2, BusyBox and bash in the C locale. */
import { describe, expect, it } from 'vitest';
import { parseIpAddrText } from '../../src/remote/ip-text.js';
import { portsThatShare } from '../../src/remote/port-looks.js';
import { failureOfShell } from '../../src/remote/shell-failure.js';
import { readPresence } from '../../src/remote/shell-presence.js';
import { readConnect } from '../../src/remote/shell-tcp.js';
import type { Vantage } from '../../src/sighting/types.js';
import { aNetwork, mac } from '../support/evidence.js';

const ran = (exitCode: number, stdout = '') =>
  ({ ran: true, exitCode, stdout, stderr: '', timedOut: false }) as const;

describe('ip addr as text', () => {
  it('gives ports with address, MTU and whether they have link', () => {
    const text = [
      '1: lo: <LOOPBACK,UP,LOWER_UP> mtu 65536 qdisc noqueue qlen 1000',
      '    link/loopback 00:00:00:00:00:00 brd 00:00:00:00:00:00',
      '    inet 127.0.0.1/8 scope host lo',
      '7: eth0@if8: <BROADCAST,MULTICAST,UP,LOWER_UP,M-DOWN> mtu 9000 qdisc noqueue',
      '    link/ether 00:00:5e:00:53:07 brd ff:ff:ff:ff:ff:ff',
      '    inet 198.51.100.7/25 scope global eth0',
      '    inet6 2001:db8::7/64 scope global',
      '9: eth1: <NO-CARRIER,BROADCAST,MULTICAST,UP> mtu 1500 qdisc noop',
    ].join('\n');
    expect(parseIpAddrText(text).slice(1)).toEqual([
      {
        name: 'eth0',
        mac: '00:00:5e:00:53:07',
        addresses: ['198.51.100.7/25', '2001:db8::7/64'],
        mtu: 9000,
        up: true,
      },
      { name: 'eth1', mac: '', addresses: [], mtu: 1500, up: false },
    ]);
    expect(parseIpAddrText('garbage\n\u0000')).toEqual([]);
  });
});

describe('a neighbour table elsewhere', () => {
  const A = '198.51.100.11';
  it.each([
    [`${A} dev eth1 lladdr 00:00:5e:00:53:0b REACHABLE`, 'claimed'],
    [`${A} dev eth1 lladdr 00:00:5e:00:53:0b STALE`, 'claimed'],
    [`${A} dev eth1 FAILED`, 'unclaimed'],
    ['198.51.100.99 dev eth1 lladdr 00:00:5e:00:53:0b REACHABLE', 'not-run'],
    ['', 'not-run'],
  ])('%j: %s', (text, outcome) => {
    expect(readPresence(text, A, 9).outcome).toBe(outcome);
  });
});

describe('a connection by bash', () => {
  it.each([
    [ran(0), 'accepted'],
    [ran(1, 'bash: connect: Connection refused'), 'refused'],
    [ran(124), 'no-reply'],
    [ran(1, 'bash: connect: No route to host'), 'unreachable'],
    [ran(1, 'bash: connect: Network is unreachable'), 'unreachable'],
    [ran(1, 'something else'), 'not-run'],
    [{ ran: false, why: 'failed', detail: 'ended' } as const, 'not-run'],
  ])('%j: %s', (result, outcome) => {
    expect(readConnect(result).outcome).toBe(outcome);
  });

  it('POSIX XCU 2.8.2: 127 is a program that is not there, 126 one that may not be run', () => {
    expect(failureOfShell(127, 'sh: 1: ping: not found')).toMatchObject({ why: 'not-found' });
    expect(failureOfShell(126, '')).toMatchObject({ why: 'not-permitted' });
    expect(failureOfShell(1, '')).toBeUndefined();
  });
});

describe('ports that share a network', () => {
  const port = (name: string, address: string, last: number, up = true) => ({
    name,
    mac: mac(last),
    addresses: [address],
    up,
  });
  it('are those with link, a MAC and an address in it, where there are two or more', () => {
    const vantage = {
      interfaces: [
        port('eth0', '192.0.2.7/24', 1),
        port('eth1', '198.51.100.7/25', 2),
        port('eth2', '198.51.100.8/25', 3),
        port('eth3', '198.51.100.9/25', 4, false),
      ],
    } as unknown as Vantage;
    const shared = portsThatShare(vantage, [
      aNetwork('mgmt', '192.0.2.0/24'),
      aNetwork('data-a', '198.51.100.0/25'),
    ]);
    expect(shared.map(({ port: { name }, networks }) => [name, networks.map((one) => one.name)])).toEqual([
      ['eth1', ['data-a']],
      ['eth2', ['data-a']],
    ]);
  });
});
