/** Aggregated links in paths: any of their members will do, as planned and as found. */
import { describe, expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import { reviewGroups } from '../../src/redundancy/index.js';
import type { SwitchTables } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aPort, aSwitch } from '../cabling/tables.js';
import {
  aDevice,
  aGroup,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  mac,
} from '../support/evidence.js';

const SW1 = 'loft-switch-1';
const SW2 = 'loft-switch-2';
const bond = (id: string, address: string, last: number, port: string): Endpoint =>
  anEndpoint(id, {
    role: 'data',
    address,
    network: 'data',
    group: 'vault-1 data',
    mac: mac(last),
    switch: SW1,
    switchPort: port,
    switchPorts: [SW1, SW2].map((name) => ({ switch: name, port })),
  });
const planned = (feeds: Readonly<Record<string, string[]>> = {}) =>
  aPlan({
    networks: [aNetwork('data', '203.0.113.0/24')],
    devices: [SW1, SW2].map((name) => aDevice(name, { feeds: feeds[name] ?? [] })),
    endpoints: [
      bond('vault-1/A/bond0', '203.0.113.11', 0x10, '1/7'),
      bond('vault-1/B/bond0', '203.0.113.12', 0x20, '1/8'),
    ],
    groups: [
      aGroup('vault-1 data', ['vault-1/A/bond0', 'vault-1/B/bond0'], {
        independent: ['controller', 'switch'],
      }),
    ],
  });

/** Ports 1/7 and 1/8 of both switches; `dark` have no link. */
function tables(name: string, dark: readonly number[] = []): SwitchTables {
  const ports = [7, 8].map((n) => aPort(n, dark.includes(n) ? { operStatus: 'down' } : {}));
  return aSwitch(name, { [mac(0x10)]: 7, [mac(0x20)]: 8 }, { ports });
}
function found(...switches: SwitchTables[]) {
  const sightings = [
    aSighting('203.0.113.11', { by: mac(0x10) }),
    aSighting('203.0.113.12', { by: mac(0x20) }),
  ];
  return judge(planned(), [anEvidence({ sightings, switches })], { review: [] });
}

describe('a group of aggregated links over two switches', () => {
  test('as planned no switch alone ends it', () => {
    expect(reviewGroups(planned()).groups[0]).toMatchObject({
      verdict: 'redundant',
      singlePoints: [],
      pairs: expect.arrayContaining([
        [
          { kind: 'switch', name: SW1 },
          { kind: 'switch', name: SW2 },
        ],
      ]),
    });
  });

  test('two switches on one feed are one: that feed ends it', () => {
    const plan = planned({ [SW1]: ['F1'], [SW2]: ['F1'] });
    expect(reviewGroups(plan).groups[0]?.singlePoints).toEqual([{ kind: 'feed', name: 'F1' }]);
    const apart = planned({ [SW1]: ['F1'], [SW2]: ['F2'] });
    expect(reviewGroups(apart).groups[0]?.singlePoints).toEqual([]);
  });

  test('every member seen in its port: redundant, by measured switches', () => {
    const { groups } = found(tables(SW1), tables(SW2));
    expect(groups[0]).toMatchObject({ verdict: 'redundant', singlePoints: [] });
  });

  test('all members on one switch are dark: the other switch is the single point now', () => {
    const { groups, findings } = found(tables(SW1), tables(SW2, [7, 8]));
    expect(groups[0]).toMatchObject({
      verdict: 'at-risk',
      singlePoints: [{ kind: 'switch', name: SW1 }],
      asPlanned: { singlePoints: [] },
    });
    expect(findings.map(({ code, subject }) => `${code} ${subject}`)).toEqual(
      expect.arrayContaining(['link-member-down vault-1/A/bond0', 'link-member-down vault-1/B/bond0']),
    );
  });
});
