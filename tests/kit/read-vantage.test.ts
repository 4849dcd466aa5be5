import { describe, expect, it } from 'vitest';
import { readVantage } from '../../src/kit/read-vantage.js';
import type { Programs } from '../../src/system/program-types.js';
import type { System, SystemDeps } from '../../src/system/types.js';
import { aSystem, fakePrograms, fakeShell, printed } from '../system/fakes.js';
import { osOutput } from '../system/os-output.js';

const NODE_ETH0 = {
  address: '192.0.2.5',
  netmask: '255.255.255.0',
  family: 'IPv4',
  mac: '00:00:5e:00:53:05',
  internal: false,
  cidr: '192.0.2.5/24',
} as const;

function deps(programs: Programs, more: Partial<SystemDeps> = {}): System {
  return aSystem(programs, { networkInterfaces: () => ({ eth0: [NODE_ETH0] }), ...more });
}

describe('readVantage', () => {
  it('joins what Node lists with what ip tells: ports without a cable are there, and down', async () => {
    const ip = (args: readonly string[]) =>
      printed(
        args.includes('addr')
          ? osOutput('ipaddr-linux.json')
          : args.includes('-6')
            ? osOutput('route-linux-ipv6.json')
            : osOutput('route-linux.json'),
      );
    const vantage = await readVantage('bench', deps(fakePrograms({ ip })), '6.1');
    expect(vantage).toMatchObject({ name: 'bench', platform: 'linux 6.1' });
    expect(vantage.interfaces.map(({ name, up }) => [name, up])).toEqual([
      ['lo', true],
      ['eth0', true],
      ['eth1', false],
    ]);
    expect(vantage.routes).toContainEqual({ destination: '::/0', interface: 'eth0', gateway: 'fe80::1' });
    expect(vantage.routesUnknown).toBeUndefined();
  });

  it('reads routes from /proc where ip is not there', async () => {
    const files: Record<string, string> = {
      '/proc/net/route': osOutput('route-linux-proc.txt'),
      '/proc/net/ipv6_route': osOutput('route-linux-proc-ipv6.txt'),
    };
    const vantage = await readVantage(
      'bench',
      deps(fakePrograms({}), { readText: async (path) => files[path] }),
    );
    expect(vantage.interfaces).toEqual([
      { name: 'eth0', mac: '00:00:5e:00:53:05', addresses: ['192.0.2.5/24'], up: true },
    ]);
    expect(vantage.routes).toContainEqual({
      destination: '203.0.113.0/24',
      interface: 'eth0',
      gateway: '192.0.2.254',
    });
  });

  it.each(['linux', 'darwin', 'win32'])(
    'says that routes are unknown rather than none, with no program at all (%s)',
    async (platform) => {
      const vantage = await readVantage('bench', deps(fakePrograms({}), { platform }));
      expect(vantage.routes).toEqual([]);
      expect(vantage.routesUnknown).toContain('not installed');
      expect(vantage.abilities.ping.able).toBe(false);
    },
  );

  it('reads Windows by PowerShell', async () => {
    const shell = fakeShell((line) => {
      if (line.includes('Get-NetRoute')) return osOutput('route-windows.json');
      if (line.includes('Get-NetIPInterface')) return osOutput('ipaddr-windows-layer3.json');
      if (line.includes('Get-NetIPAddress')) return osOutput('ipaddr-windows-addresses.json');
      if (line.includes('Get-NetNeighbor')) return osOutput('neigh-get-netneighbor.json');
      return line.includes('Get-NetAdapter') ? osOutput('ipaddr-windows-ports.json') : '';
    });
    const programs = fakePrograms({}, { 'powershell.exe': shell.start });
    const networkInterfaces = () => ({ Ethernet: [NODE_ETH0] });
    const vantage = await readVantage('bench', deps(programs, { platform: 'win32', networkInterfaces }));
    expect(vantage.interfaces[0]).toEqual({
      name: 'Ethernet',
      mac: '00:00:5e:00:53:05',
      addresses: ['192.0.2.5/24'],
      mtu: 1500,
      up: true,
      wireless: false,
    });
    // Its static address waits for the cable: without it, a laptop would be told to add what it has.
    expect(vantage.interfaces.find(({ name }) => name === 'Prüfnetz')).toMatchObject({
      up: false,
      addresses: ['198.51.100.5/25'],
    });
    expect(vantage.interfaces.find(({ name }) => name === 'Wi-Fi')).toMatchObject({ wireless: true });
    expect(vantage.abilities.neighbourTable).toEqual({ able: true });
    expect(shell.starts()).toBe(1);
    expect(vantage.routes[0]).toEqual({
      destination: '0.0.0.0/0',
      interface: 'Ethernet',
      gateway: '192.0.2.1',
    });
  });

  it.each([
    ['is not there', undefined],
    ['is cut short', () => 'Get-NetRoute : nicht gefunden'],
    ['shows nothing', () => ''],
    ['ends', () => undefined],
  ])('reads the routes of Windows by `route print` where PowerShell %s', async (_why, shell) => {
    const programs = fakePrograms(
      { route: printed(osOutput('route-print-windows-german.txt')) },
      shell === undefined ? {} : { 'powershell.exe': fakeShell(shell).start },
    );
    const networkInterfaces = () => ({ Ethernet: [NODE_ETH0] });
    const vantage = await readVantage('bench', deps(programs, { platform: 'win32', networkInterfaces }));
    expect(vantage.routesUnknown).toBeUndefined();
    expect(vantage.routes).toContainEqual({
      destination: '0.0.0.0/0',
      interface: 'Ethernet',
      gateway: '192.0.2.1',
    });
    expect(vantage.interfaces.map((port) => port.name)).toEqual(['Ethernet']);
  });

  it('reads macOS by ifconfig and netstat', async () => {
    const programs = fakePrograms({
      ifconfig: printed(osOutput('ipaddr-macos.txt')),
      netstat: printed(osOutput('route-macos.txt')),
    });
    const vantage = await readVantage(
      'bench',
      deps(programs, { platform: 'darwin', networkInterfaces: () => ({}) }),
    );
    expect(vantage.interfaces.find(({ name }) => name === 'en0')).toMatchObject({ mtu: 1500, up: true });
    expect(vantage.routes.length).toBeGreaterThan(5);
  });
});
