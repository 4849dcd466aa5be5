import { describe, expect, it } from 'vitest';
import {
  decodeArpWindows,
  decodeGetNetNeighbor,
  decodeNetshNeighbours,
} from '../../../src/system/windows/neighbours.js';
import { fixtureText, mustDecode } from '../../wire/fixture.js';

describe('arp -a', () => {
  it.each(['english', 'german', 'french', 'spanish', 'russian', 'japanese', 'portuguese'])(
    'is read by its shape in %s',
    (language) => {
      expect(mustDecode(decodeArpWindows(fixtureText(`os-output/arp-windows-${language}.txt`)))).toEqual([
        row('192.0.2.1', '00:00:5e:00:53:01', '7', '192.0.2.5'),
        row('192.0.2.7', '00:00:5e:00:53:07', '7', '192.0.2.5'),
        row('198.51.100.7', '00:00:5e:00:53:17', '18', '198.51.100.5'),
      ]);
    },
  );

  it('finds nothing in a sentence', () => {
    expect(mustDecode(decodeArpWindows('No ARP Entries Found.'))).toEqual([]);
  });
});

describe('netsh interface ipv6 show neighbors', () => {
  it.each(['english', 'german', 'french', 'russian'])('is read by its shape in %s', (language) => {
    expect(
      mustDecode(decodeNetshNeighbours(fixtureText(`os-output/neigh-netsh-windows-${language}.txt`))),
    ).toEqual([
      { address: '2001:db8::7', mac: '00:00:5e:00:53:07', interface: 'Ethernet', state: 'held' },
      { address: 'fe80::200:5eff:fe00:5307', mac: '00:00:5e:00:53:07', interface: 'Ethernet', state: 'held' },
    ]);
  });
});

describe('Get-NetNeighbor', () => {
  it('is read with numbered and named states (NL_NEIGHBOR_STATE, nldef.h), without groups and broadcast', () => {
    const rows = mustDecode(
      decodeGetNetNeighbor(`\ufeff${fixtureText('os-output/neigh-get-netneighbor.json')}`),
    );
    expect(rows).toEqual([
      { address: '192.0.2.1', mac: '00:00:5e:00:53:01', interface: 'Ethernet', state: 'stale' },
      { address: '192.0.2.7', mac: '00:00:5e:00:53:07', interface: 'Ethernet', state: 'present' },
      { address: '192.0.2.99', interface: 'Ethernet', state: 'failed' },
      { address: '192.0.2.98', interface: 'Ethernet', state: 'incomplete' },
      { address: '192.0.2.60', mac: '00:00:5e:00:53:60', interface: 'Ethernet', state: 'own-static' },
      { address: 'fe80::7', mac: '00:00:5e:00:53:07', interface: 'Ethernet', state: 'present' },
    ]);
  });

  it('is read where one row became a bare object, by index where no alias was asked for', () => {
    expect(mustDecode(decodeGetNetNeighbor(fixtureText('os-output/neigh-get-netneighbor-one.json')))).toEqual(
      [{ address: '192.0.2.7', mac: '00:00:5e:00:53:07', interface: '7', state: 'stale' }],
    );
  });

  it('is empty for no output and refused for an error text', () => {
    expect(mustDecode(decodeGetNetNeighbor('\r\n'))).toEqual([]);
    expect(decodeGetNetNeighbor('Get-NetNeighbor : ...')).toMatchObject({ ok: false, why: 'malformed' });
    expect(decodeGetNetNeighbor('7')).toMatchObject({ ok: false, why: 'malformed' });
  });
});

function row(address: string, mac: string, index: string, interfaceAddress: string) {
  return { address, mac, interface: index, interfaceAddress, state: 'held' };
}
