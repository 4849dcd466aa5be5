import { describe, expect, it } from 'vitest';
import {
  parseWindowsAdapters,
  parseWindowsInterfaces,
  parseWindowsRoutes,
} from '../../../src/system/windows/tables.js';
import { osOutput } from '../os-output.js';

describe('Get-NetRoute', () => {
  it('orders by route metric plus interface metric; an unspecified next hop is the link itself', () => {
    const routes = parseWindowsRoutes(osOutput('route-windows.json')) ?? [];
    expect(routes.filter((route) => route.destination === '0.0.0.0/0')).toEqual([
      { destination: '0.0.0.0/0', interface: 'Ethernet', gateway: '192.0.2.1' },
      { destination: '0.0.0.0/0', interface: 'Wi-Fi', gateway: '203.0.113.1' },
    ]);
    expect(routes).toContainEqual({ destination: '192.0.2.0/24', interface: 'Ethernet' });
    expect(routes).toContainEqual({ destination: '2001:db8:0:10::/64', interface: 'Ethernet' });
  });

  it('is undefined for an error text', () => {
    expect(parseWindowsRoutes('Get-NetRoute : not recognized')).toBeUndefined();
  });
});

describe('Get-NetIPInterface and Get-NetAdapter', () => {
  it('takes the smaller MTU of the families, none for the loopback, and names beyond ASCII', () => {
    expect(parseWindowsInterfaces(osOutput('ipaddr-windows-layer3.json'))).toEqual([
      { name: 'Ethernet', mtu: 1500, connected: true },
      { name: 'Prüfnetz', mtu: 1500, connected: false },
      { name: 'Wi-Fi', mtu: 1500, connected: true },
      { name: 'Loopback Pseudo-Interface 1', connected: true },
    ]);
  });

  it('reads the one bare object that ConvertTo-Json writes for a list of one', () => {
    expect(parseWindowsAdapters(osOutput('ipaddr-windows-adapters.json'))).toEqual([
      { name: 'Ethernet', mac: '00:00:5e:00:53:05', up: true },
    ]);
  });

  it('tells radio from wire by number, and whose GUID a port has', () => {
    expect(parseWindowsAdapters(osOutput('ipaddr-windows-ports.json'))).toMatchObject([
      { name: 'Ethernet', wireless: false, guid: '{0A1B2C3D-0001-4000-8000-00005E005305}' },
      { name: 'Prüfnetz', up: false, wireless: false },
      { name: 'Wi-Fi', wireless: true },
    ]);
  });
});
