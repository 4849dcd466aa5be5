import { describe, expect, test } from 'vitest';
import { findPort, sayPort } from '../../src/cabling/port-name.js';
import { aPort } from './tables.js';

// Common practice, no source: how people shorten what the agent calls ifName, ifDescr and ifAlias (RFC 2863).
describe('the port that the plan means', () => {
  const ports = [
    aPort(1, { name: 'Gi1/0/1', descr: 'GigabitEthernet1/0/1', alias: 'press-1 left' }),
    aPort(2, { name: 'Gi1/0/2', descr: 'GigabitEthernet1/0/2', alias: 'Gi1/0/1' }),
    aPort(3, { name: 'Te1/0/2', descr: 'TenGigabitEthernet1/0/2' }),
    aPort(4, { name: '24', descr: 'Port 24' }),
    aPort(5, { name: 'swp25' }),
  ];
  test.each([
    ['Gi1/0/1', 1, 'the name goes before another port’s alias'],
    ['gi 1/0/1', 1, 'case and blanks do not count'],
    ['GigabitEthernet1/0/2', 2, 'ifDescr'],
    ['press-1 left', 1, 'ifAlias'],
    ['gig1/0/1', 1, 'a beginning of the letters'],
    ['TenGig1/0/2', 3, 'a beginning that tells two kinds apart'],
    ['24', 4, 'a bare number'],
    ['port 24', 4, 'the word port'],
    ['25', 5, 'a number that one port alone has'],
  ])('%s is ifIndex %i: %s', (text, ifIndex) => {
    expect(findPort(ports, text)).toMatchObject({ kind: 'one', port: { ifIndex } });
  });

  test.each([
    ['1/0/2', 'several', 'fits two ports'],
    ['1/0/20', 'none', 'numbers match whole'],
    ['xe-1/0/1', 'none', 'letters that begin neither'],
    ['left', 'none', 'no number, no name'],
    ['port 25', 'none', 'a switch that calls a port `24` means such a one by the word port, not swp25'],
  ])('%s: %s, %s', (text, kind) => {
    expect(findPort(ports, text).kind).toBe(kind);
  });
});

describe('holes with the same number on them', () => {
  const named = (...names: readonly string[]) => names.map((name, n) => aPort(n + 1, { name }));
  const found = (names: readonly string[], planned: string) => {
    const match = findPort(named(...names), planned);
    return match.kind === 'one' ? match.port.name : match.kind;
  };
  test.each([
    [
      ['gi1', 'Po1', 'vlan1'],
      '1',
      'gi1',
      'an aggregated link and a VLAN interface do not compete with ports',
    ],
    [['gi1', 'Po1', 'vlan1'], 'port 1', 'gi1', 'nor for the word port'],
    [['gi1', 'Po1', 'vlan1'], 'Po1', 'Po1', 'called by its whole name the aggregated link is meant'],
    [['gi1', 'port-channel1'], 'po 1', 'port-channel1', 'shortened, where no port has that name'],
    [
      ['port2', 'port3', 'uplink1'],
      'port1',
      'none',
      'never the uplink: a cable in the wrong switch would look right',
    ],
    [['uplink1'], 'port1', 'none', 'not even where it is the only one'],
    [['uplink1', 'mgmt1', 'console1'], '1', 'none', 'a bare number is no uplink, management or console port'],
    [['port1', 'uplink1'], 'port1', 'port1', 'the port itself'],
    [['port1', 'uplink1'], 'uplink 1', 'uplink1', 'the uplink where it is planned'],
    [['swp1', 'swp25'], 'port 25', 'swp25', 'the word port for other letters, where no port is called so'],
    [['1/7.0', '1/7'], '1/7', '1/7', 'the port, beside its logical unit'],
    [['1/7'], '1/7.0', '1/7', 'a logical unit that is planned is its port'],
  ])('%j, planned %s: %s (%s)', (names, planned, expected) => {
    expect(found(names, planned)).toBe(expected);
  });

  // IANAifType-MIB: 161 ieee8023adLag, 136 l3ipvlan. The type tells it whatever the name is.
  test('by its ifType a group is none, whatever it is called', () => {
    const ports = [
      aPort(1, { name: 'gi1' }),
      aPort(2, { name: 'x1', ifType: 161 }),
      aPort(3, { name: '1', ifType: 136 }),
    ];
    expect(findPort(ports, '1')).toMatchObject({ kind: 'one', port: { name: 'gi1' } });
  });
});

describe('the port in a sentence', () => {
  test.each([
    ['1/7', 'port 1/7'],
    ['Ethernet1/7', 'port Ethernet1/7'],
    ['portal', 'port portal'],
    ['port12', 'port12'],
    ['Port 12', 'Port 12'],
    ['port-1/7', 'port-1/7'],
  ])('%s is %s: never a port port', (name, said) => {
    expect(sayPort(name)).toBe(said);
  });
});
