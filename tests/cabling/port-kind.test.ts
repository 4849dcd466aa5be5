import { describe, expect, test } from 'vitest';
import { isLogical, portOfUnit, withoutUnits } from '../../src/cabling/port-kind.js';
import { aPort } from './tables.js';

// IANAifType-MIB: 6 ethernetCsmacd, 24 softwareLoopback, 53 propVirtual, 56 fibreChannel, 135 l2vlan, 136 l3ipvlan, 161 ieee8023adLag.
describe('what no cable goes into', () => {
  test.each([
    ['gi1', 6, false],
    ['fc0/3', 56, false],
    ['x', 161, true],
    ['x', 135, true],
    ['x', 136, true],
    ['x', 24, true],
    ['Po1', undefined, true],
    ['port-channel 12', undefined, true],
    ['vlan1', undefined, true],
    ['lo0', undefined, true],
    ['port1', undefined, false],
    ['uplink1', undefined, false],
    ['1/7', undefined, false],
    ['local1', undefined, false],
    ['portal', undefined, false],
  ])('%s of ifType %s: %s', (name, ifType, expected) => {
    expect(isLogical({ name, ifType })).toBe(expected);
  });
});

describe('logical units', () => {
  test.each([
    ['1/7.0', '1/7'],
    ['ge-0/0/7.100', 'ge-0/0/7'],
    ['1/7', undefined],
    ['v1.', undefined],
    ['eth.7', undefined],
  ])('%s is a unit of %s', (name, port) => {
    expect(portOfUnit(name)).toBe(port);
  });

  test('count as their port, which takes over their group', () => {
    const { ports, portOf } = withoutUnits([
      aPort(7, { name: '1/7' }),
      aPort(507, { name: '1/7.0', ifType: 53, aggregate: 600 }),
      aPort(100, { name: 'ae0', ifType: 161 }),
      aPort(600, { name: 'ae0.0', ifType: 161 }),
    ]);
    expect(ports.map(({ name, aggregate }) => [name, aggregate])).toEqual([
      ['1/7', 100],
      ['ae0', undefined],
    ]);
    expect(portOf).toEqual(
      new Map([
        [507, 7],
        [600, 100],
      ]),
    );
  });

  test('a unit whose port is not listed stays what it is', () => {
    expect(withoutUnits([aPort(507, { name: '1/7.0' })]).ports).toHaveLength(1);
  });
});
