import { describe, expect, it } from 'vitest';
import type { VantageInterface } from '../../src/sighting/types.js';
import { addressCommands } from '../../src/vantage/mend.js';

function port(name: string, more: Partial<VantageInterface> = {}): VantageInterface {
  return { name, mac: '00:00:5e:00:53:05', addresses: [], up: true, ...more };
}

const NONE = { addresses: [] };

function commands(
  platform: string,
  cidr: string,
  name: string,
  taken: Parameters<typeof addressCommands>[3] = NONE,
) {
  const made = addressCommands(platform, { interfaces: [port(name)] }, cidr, taken);
  if (!made.possible) throw new Error(made.why);
  return made;
}

describe('the command that adds an address, and the one that removes it', () => {
  // iproute2 ip-address(8), macOS ifconfig(8) (from memory), netsh interface context (from memory).
  it.each([
    [
      'linux',
      '198.51.100.0/25',
      'eth0',
      'sudo ip address add 198.51.100.126/25 dev eth0',
      'sudo ip address del 198.51.100.126/25 dev eth0',
    ],
    [
      'linux',
      '2001:db8:0:10::/64',
      'enp3s0',
      'sudo ip address add 2001:db8:0:10:ffff:ffff:ffff:ffff/64 dev enp3s0',
      'sudo ip address del 2001:db8:0:10:ffff:ffff:ffff:ffff/64 dev enp3s0',
    ],
    [
      'darwin',
      '198.51.100.0/25',
      'en0',
      'sudo ifconfig en0 inet 198.51.100.126 netmask 255.255.255.128 alias',
      'sudo ifconfig en0 inet 198.51.100.126 -alias',
    ],
    [
      'darwin',
      '2001:db8::/126',
      'en0',
      'sudo ifconfig en0 inet6 2001:db8::3 prefixlen 126 alias',
      'sudo ifconfig en0 inet6 2001:db8::3 -alias',
    ],
    [
      'win32',
      '198.51.100.0/25',
      'Ethernet 2',
      'netsh interface ipv4 add address name="Ethernet 2" address=198.51.100.126 mask=255.255.255.128 store=active',
      'netsh interface ipv4 delete address name="Ethernet 2" address=198.51.100.126 store=active',
    ],
    [
      'win32',
      '2001:db8::/126',
      'Ethernet',
      'netsh interface ipv6 add address interface="Ethernet" address=2001:db8::3/126 store=active',
      'netsh interface ipv6 delete address interface="Ethernet" address=2001:db8::3 store=active',
    ],
  ])('%s %s', (platform, cidr, name, add, remove) => {
    expect(commands(platform, cidr, name)).toMatchObject({ add, remove, interface: name });
  });

  it('quotes what a shell would take apart', () => {
    expect(commands('linux', '192.0.2.0/30', "a;b'c").add).toContain(`dev 'a;b'\\''c'`);
    expect(commands('win32', '192.0.2.0/30', 'a & calc').add).toContain('name="a & calc" ');
    // PowerShell runs $(...) in double quotes, and cmd has no other quotes (from memory): such a name is left to the reader.
    expect(commands('win32', '192.0.2.0/30', 'LAN $(calc)').add).toContain('name="PORT" ');
    expect(commands('win32', '192.0.2.0/30', 'a" & calc "').add).toContain('name="PORT" ');
  });
});

describe('the address', () => {
  it('is the highest that is neither planned, reserved nor own', () => {
    const taken = {
      addresses: ['192.0.2.14', '192.0.2.10'],
      ranges: [{ first: '192.0.2.12', last: '192.0.2.13' }],
    };
    const made = addressCommands(
      'linux',
      { interfaces: [port('eth0', { addresses: ['192.0.2.11/28'] })] },
      '192.0.2.0/28',
      taken,
    );
    expect(made).toMatchObject({ possible: true, address: '192.0.2.9' });
  });

  // RFC 3021 §2.1: both addresses of a /31 are hosts.
  it('may be either one of a /31', () => {
    expect(commands('linux', '192.0.2.4/31', 'eth0', { addresses: ['192.0.2.5'] }).address).toBe('192.0.2.4');
  });

  it('is none where all are taken, and that is said', () => {
    const ranges = [{ first: '192.0.2.0', last: '192.0.2.255' }];
    const made = addressCommands('linux', { interfaces: [port('eth0')] }, '192.0.2.0/24', {
      addresses: [],
      ranges,
    });
    expect(made).toEqual({
      possible: false,
      why: 'every address of 192.0.2.0/24 is in the plan or reserved',
    });
  });

  it('is found at once in a large network that is reserved to the top', () => {
    const ranges = [{ first: '2001:db8::1000', last: '2001:db8::ffff:ffff:ffff:ffff' }];
    expect(commands('linux', '2001:db8::/64', 'eth0', { addresses: [], ranges }).address).toBe(
      '2001:db8::fff',
    );
  });

  it('comes with the caution that the site may have it', () => {
    expect(commands('linux', '192.0.2.0/24', 'eth0').why).toMatch(/survey first/);
    expect(commands('win32', '192.0.2.0/24', 'Ethernet').why).toMatch(/administrator.*DHCP/s);
  });
});

describe('the port', () => {
  it.each([
    [['lo', 'wlan0', 'docker0', 'eth0'], 'eth0'],
    [['utun0', 'awdl0', 'en0'], 'en0'],
    [['vEthernet (Default Switch)', 'Wi-Fi', 'Ethernet'], 'Ethernet'],
    [['docker0', 'wlp2s0'], 'wlp2s0'],
    [['tun0', 'x9'], 'x9'],
  ])('of %j is %s', (names, expected) => {
    const interfaces = names.map((name) => port(name, name === 'lo' ? { mac: '00:00:00:00:00:00' } : {}));
    const made = addressCommands('linux', { interfaces }, '192.0.2.0/24', NONE);
    expect(made).toMatchObject({ interface: expected });
  });

  it('is the wired one with an address, of two', () => {
    const interfaces = [port('eth0'), port('eth1', { addresses: ['198.51.100.5/24'] })];
    expect(addressCommands('linux', { interfaces }, '192.0.2.0/24', NONE)).toMatchObject({
      interface: 'eth1',
    });
  });

  it('is none where nothing is up', () => {
    const interfaces = [port('eth0', { up: false })];
    expect(addressCommands('linux', { interfaces }, '192.0.2.0/24', NONE)).toMatchObject({
      possible: false,
      why: expect.stringContaining('cable'),
    });
  });
});

describe('where the VLAN decides', () => {
  const told = (vlan: number) => ({
    localPort: 'eth0',
    chassisId: '00:00:5e:00:53:aa',
    chassisIdSubtype: '',
    portId: '7',
    portIdSubtype: '',
    sysName: 'core-1',
    managementAddresses: [],
    vlan,
  });
  const add = (circumstance: Parameters<typeof addressCommands>[4]) =>
    addressCommands('linux', { interfaces: [port('eth0')] }, '198.51.100.0/25', NONE, circumstance);

  it('names the VLAN that the port must be in', () => {
    expect(add({ vlan: 21 })).toMatchObject({ possible: true, why: expect.stringContaining('VLAN 21') });
    expect(add({ vlan: 21, ownNeighbours: [told(21)] })).toMatchObject({ possible: true });
    expect(add({ ownNeighbours: [told(10)] })).toMatchObject({ possible: true });
  });

  it('gives no command where the switch says that the port is in another', () => {
    const made = add({ vlan: 21, ownNeighbours: [told(10)] });
    expect(made).toMatchObject({
      possible: false,
      why: expect.stringMatching(/does not help.*core-1.*VLAN 10.*VLAN 21/),
    });
  });
});
