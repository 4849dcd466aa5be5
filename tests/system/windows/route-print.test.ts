import { describe, expect, it } from 'vitest';
import { parseRoutePrint, parseRoutePrint6 } from '../../../src/system/windows/route-print.js';
import { osOutput } from '../os-output.js';

const portOf = (address: string) => ({ '192.0.2.5': 'Ethernet', '127.0.0.1': 'Loopback' })[address];

describe('parseRoutePrint', () => {
  it.each(['german', 'french', 'russian', 'japanese', 'portuguese'])(
    'reads gateways and networks on the link in %s, by metric, and no persistent route a second time',
    (language) => {
      expect(parseRoutePrint(osOutput(`route-print-windows-${language}.txt`), portOf)).toEqual([
        { destination: '0.0.0.0/0', interface: 'Ethernet', gateway: '192.0.2.1' },
        { destination: '198.51.100.0/25', interface: 'Ethernet', gateway: '192.0.2.254' },
        { destination: '192.0.2.0/24', interface: 'Ethernet' },
        { destination: '192.0.2.5/32', interface: 'Ethernet' },
        { destination: '127.0.0.0/8', interface: 'Loopback' },
        { destination: '127.0.0.1/32', interface: 'Loopback' },
      ]);
    },
  );

  // From memory: the words.
  it.each([
    '192.0.2.0    255.255.255.0   En vínculo         192.0.2.5    281',
    '192.0.2.0    255.255.255.0   リンク上         192.0.2.5    281\r',
    '192.0.2.0    255.255.255.0   \ufffd\ufffd\ufffdN\ufffd\ufffd         192.0.2.5    281',
  ])('knows a network on the link in any words: %s', (line) => {
    expect(parseRoutePrint(line, portOf)).toEqual([{ destination: '192.0.2.0/24', interface: 'Ethernet' }]);
  });

  it.each([
    ['own address of no port', '192.0.2.0 255.255.255.0 192.0.2.1 192.0.2.77 25'],
    ['not a mask', '192.0.2.0 255.0.255.0 192.0.2.1 192.0.2.5 25'],
    ['no route', 'IPv4 Route Table'],
  ])('leaves out a line: %s', (_why, line) => {
    expect(parseRoutePrint(line, portOf)).toEqual([]);
  });
});

// From memory, as route-README.md says.
it('reads IPv6: ports by number and MAC, a gateway in the next line', () => {
  const portOf = (mac: string) => (mac === '00:00:5e:00:53:05' ? 'Ethernet' : undefined);
  expect(parseRoutePrint6(osOutput('route-print6-windows-german.txt'), portOf)).toEqual([
    { destination: '2001:db8::/64', interface: 'Ethernet' },
    { destination: '::/0', interface: 'Ethernet', gateway: 'fe80::1' },
    { destination: '2001:db8:ffff:ffff:ffff:ffff:ffff:0/112', interface: 'Ethernet', gateway: 'fe80::2' },
  ]);
});
