/** Links between switches are things in paths (issue 8, 20): a row of a switch that itself names a switch (DESIGN 3). */
import { describe, expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import { assessGroups, type EndpointLiveness } from '../../src/redundancy/index.js';
import { hopsBetween, switchLinksOf } from '../../src/redundancy/switch-links.js';
import { aDevice, aGroup, aNetwork, anEndpoint, aPlan } from '../support/evidence.js';

const data = (id: string, on: string, role: 'host' | 'data'): Endpoint =>
  anEndpoint(id, { role, network: 'data-a', switch: on, group: role === 'data' ? 'vault-1 data' : 'hosts' });
const link = (id: string, to: string): Endpoint =>
  anEndpoint(id, { role: 'switch', network: 'data-a', switch: to, switchPort: '48' });

function assess(links: readonly Endpoint[]) {
  const endpoints = [
    data('press-1/nic0', 'sw-a', 'host'),
    data('press-1/nic1', 'sw-a', 'host'),
    data('vault-1/A/data0', 'sw-b', 'data'),
    data('vault-1/B/data0', 'sw-b', 'data'),
    ...links,
  ];
  const plan = aPlan({
    networks: [aNetwork('data-a', '198.51.100.0/25')],
    devices: ['press-1', 'vault-1', 'sw-a', 'sw-b'].map((name) => aDevice(name)),
    endpoints,
    groups: [
      aGroup('vault-1 data', ['vault-1/A/data0', 'vault-1/B/data0']),
      aGroup('press-1 to vault-1', [], { from: 'press-1', to: 'vault-1 data', need: 1 }),
    ],
  });
  const liveness = new Map(
    plan.endpoints.map(({ id }): [string, EndpointLiveness] => [id, { state: 'live' }]),
  );
  const group = assessGroups(plan, liveness).groups.find(({ name }) => name === 'press-1 to vault-1');
  if (group === undefined) throw new Error('the group was not assessed');
  return group;
}

const ends = (points: readonly { readonly kind: string; readonly name: string }[]): string[] =>
  points.map(({ kind, name }) => `${kind} ${name}`).sort();

describe('host and array on two switches', () => {
  test('one link between them ends access like either switch', () => {
    expect(ends(assess([link('sw-a/48', 'sw-b')]).singlePoints)).toContain('switch-link sw-a/48');
  });

  test('of two links side by side neither does', () => {
    const points = ends(assess([link('sw-a/47', 'sw-b'), link('sw-a/48', 'sw-b')]).singlePoints);
    expect(points.filter((point) => point.startsWith('switch-link'))).toEqual([]);
    expect(points).toEqual(expect.arrayContaining(['switch sw-a', 'switch sw-b']));
  });
});

test('the shortest way is taken, over as many switches as it needs', () => {
  const rows = [link('sw-a/48', 'sw-m'), link('sw-m/2', 'sw-b'), link('sw-a/1', 'sw-x')];
  const links = switchLinksOf({ endpoints: rows });
  expect(hopsBetween(links, 'sw-a', 'sw-b')?.map(({ to }) => to)).toEqual(['sw-m', 'sw-b']);
  expect(hopsBetween(links, 'sw-b', 'sw-a')?.map(({ to }) => to)).toEqual(['sw-m', 'sw-a']);
  expect(hopsBetween(links, 'sw-a', 'sw-a')).toEqual([]);
  expect(hopsBetween(links, 'sw-b', 'elsewhere')).toBeUndefined();
});
