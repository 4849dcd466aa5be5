import { expect, it } from 'vitest';
import {
  decodeIpNeighJson,
  decodeIpNeighText,
  decodeProcNetArp,
} from '../../../src/system/linux/neighbours.js';
import { fixtureText, mustDecode } from '../../wire/fixture.js';

/** What was set up when the fixtures were made (fixtures/os-output/neigh-README.md), iproute2 6.1.0. */
const MADE = [
  { address: '192.0.2.98', mac: undefined, interface: 'va', state: 'incomplete' },
  { address: '192.0.2.60', mac: '00:00:5e:00:53:60', interface: 'va', state: 'own-static' },
  { address: '192.0.2.7', mac: '00:00:5e:00:53:07', interface: 'va', state: 'present' },
  { address: '192.0.2.99', mac: undefined, interface: 'va', state: 'failed' },
  { address: '192.0.2.61', mac: '00:00:5e:00:53:61', interface: 'va', state: 'stale' },
  { address: '2001:db8::7', mac: '00:00:5e:00:53:07', interface: 'va', state: 'present' },
];

it('reads the JSON of ip neigh with every state', () => {
  expect(mustDecode(decodeIpNeighJson(fixtureText('os-output/neigh-ip.json')))).toEqual(MADE);
});

it('reads the text of ip neigh to the same rows', () => {
  expect(mustDecode(decodeIpNeighText(fixtureText('os-output/neigh-ip.txt')))).toEqual(MADE);
});

it('reads /proc/net/arp, which has no IPv6, no "failed" and no "stale"', () => {
  const rows = mustDecode(decodeProcNetArp(fixtureText('os-output/arp-proc.txt')));
  expect(rows.map(({ address, mac, state }) => [address, mac, state])).toEqual([
    ['192.0.2.98', undefined, 'incomplete'],
    ['192.0.2.60', '00:00:5e:00:53:60', 'own-static'],
    ['192.0.2.7', '00:00:5e:00:53:07', 'held'],
    ['192.0.2.99', undefined, 'incomplete'],
    ['192.0.2.61', '00:00:5e:00:53:61', 'held'],
  ]);
  expect(rows.every((row) => row.interface === 'va')).toBe(true);
});

it('takes words between the device and the state (from memory: router, extern_learn, ref counts)', () => {
  const line =
    'fe80::1 dev eth0 lladdr 00:00:5e:00:53:01 router extern_learn ref 1 used 3/3/1 probes 0 DELAY';
  expect(mustDecode(decodeIpNeighText(line))).toEqual([
    { address: 'fe80::1', mac: '00:00:5e:00:53:01', interface: 'eth0', state: 'stale' },
  ]);
});

it.each([
  ['half a list', '[{"dst":"192.0.2.7"'],
  ['an object', '{"dst":"192.0.2.7"}'],
  ['a message', 'Object "neigh" is unknown'],
])('refuses %s as malformed', (_, text) => {
  expect(decodeIpNeighJson(text)).toMatchObject({ ok: false, why: 'malformed' });
});

it('keeps the rows that are neighbours where others are not', () => {
  const text = '[1,null,{"dst":7},{"dst":"no"},{"dst":"192.0.2.7","dev":"e","state":[3]}]';
  expect(mustDecode(decodeIpNeighJson(text))).toEqual([
    { address: '192.0.2.7', mac: undefined, interface: 'e', state: 'incomplete' },
  ]);
  expect(mustDecode(decodeIpNeighJson(''))).toEqual([]);
});
