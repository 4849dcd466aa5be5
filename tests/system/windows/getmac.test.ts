import { expect, it } from 'vitest';
import { parseGetmac } from '../../../src/system/windows/getmac.js';
import { parseNetshAddresses } from '../../../src/system/windows/netsh-addresses.js';
import { aSystem, fakePrograms, printed } from '../fakes.js';
import { osOutput } from '../os-output.js';

// Where each comes from: fixtures/os-output/route-README.md.
const GETMAC = osOutput('ipaddr-windows-getmac-german.txt');
const NETSH = osOutput('ipaddr-windows-netsh-french.txt');

it('reads ports with and without link, whatever language says that there is none', () => {
  expect(parseGetmac(GETMAC)).toEqual([
    { name: 'Ethernet', mac: '00:00:5e:00:53:05', up: true, guid: '0a1b2c3d-0001-4000-8000-00005e005305' },
    { name: 'Prüfnetz', mac: '00:00:5e:00:53:06', up: false },
  ]);
});

it.each(['french', 'german', 'russian'])('reads the static addresses of each port in %s', (language) => {
  expect(parseNetshAddresses(osOutput(`ipaddr-windows-netsh-${language}.txt`))).toEqual(
    new Map([
      ['Ethernet', ['192.0.2.5/24', '203.0.113.5/25']],
      ['Prüfnetz', ['198.51.100.5/25']],
    ]),
  );
});

it('stands in for PowerShell: ports without link keep their addresses', async () => {
  const system = aSystem(fakePrograms({ getmac: printed(GETMAC), netsh: printed(NETSH) }), {
    platform: 'win32',
  });
  expect(await system.ports()).toEqual([
    { name: 'Ethernet', mac: '00:00:5e:00:53:05', up: true, addresses: ['192.0.2.5/24', '203.0.113.5/25'] },
    { name: 'Prüfnetz', mac: '00:00:5e:00:53:06', up: false, addresses: ['198.51.100.5/25'] },
  ]);
});
