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
    ['port 25', 5, 'the word port for other letters'],
    ['25', 5, 'a number that one port alone has'],
  ])('%s is ifIndex %i: %s', (text, ifIndex) => {
    expect(findPort(ports, text)).toMatchObject({ kind: 'one', port: { ifIndex } });
  });

  test.each([
    ['1/0/2', 'several', 'fits two ports'],
    ['1/0/20', 'none', 'numbers match whole'],
    ['xe-1/0/1', 'none', 'letters that begin neither'],
    ['left', 'none', 'no number, no name'],
  ])('%s: %s, %s', (text, kind) => {
    expect(findPort(ports, text).kind).toBe(kind);
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
