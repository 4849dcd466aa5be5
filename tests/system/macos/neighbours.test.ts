import { expect, it } from 'vitest';
import { decodeArpMacos, decodeNdpMacos } from '../../../src/system/macos/neighbours.js';
import { fixtureText, mustDecode } from '../../wire/fixture.js';

it('reads arp -an: short octets, incomplete, own, and no group address', () => {
  expect(mustDecode(decodeArpMacos(fixtureText('os-output/arp-macos.txt')))).toEqual([
    { address: '192.0.2.1', mac: '00:00:5e:00:53:01', interface: 'en0', state: 'held' },
    { address: '192.0.2.7', mac: '00:00:5e:00:53:07', interface: 'en0', state: 'held' },
    { address: '192.0.2.99', interface: 'en0', state: 'incomplete' },
    { address: '192.0.2.5', mac: '00:00:5e:00:53:0a', interface: 'en0', state: 'own-static' },
  ]);
});

it('reads ndp -an with its state letters and without the zone', () => {
  expect(mustDecode(decodeNdpMacos(fixtureText('os-output/neigh-ndp-macos.txt')))).toEqual([
    { address: '2001:db8::5', mac: '00:00:5e:00:53:0a', interface: 'en0', state: 'own-static' },
    { address: '2001:db8::7', mac: '00:00:5e:00:53:07', interface: 'en0', state: 'stale' },
    { address: '2001:db8::8', mac: '00:00:5e:00:53:08', interface: 'en0', state: 'present' },
    { address: '2001:db8::99', interface: 'en0', state: 'incomplete' },
    { address: 'fe80::7', mac: '00:00:5e:00:53:07', interface: 'en0', state: 'present' },
  ]);
});

it('finds nothing in text of another kind', () => {
  expect(mustDecode(decodeArpMacos('arp: illegal option\n? (999.0.2.1) at 0:0:5e:0:53:1 on en0'))).toEqual(
    [],
  );
  expect(mustDecode(decodeNdpMacos(''))).toEqual([]);
});
