import { describe, expect, test } from 'vitest';
import { planDrill, summariseDrill } from '../../src/drill/plan.js';
import type { Endpoint } from '../../src/plan/model.js';
import { assessGroups } from '../../src/redundancy/index.js';
import { aDevice, anEndpoint, aPlan } from '../support/evidence.js';

const port = (controller: string, sw: string): Endpoint =>
  anEndpoint(`vault-1/${controller}/mgmt`, { network: 'mgmt', switch: sw, group: 'vault-1 mgmt' });
function drill(endpoints: Endpoint[], dead: string[] = [], feeds: Record<string, string[]> = {}) {
  const devices = ['vault-1', 'sw-1', 'sw-2'].map((name) => aDevice(name, { feeds: feeds[name] ?? [] }));
  const plan = aPlan({ endpoints, devices });
  const states = new Map(
    endpoints.map((e) => [e.id, { state: dead.includes(e.id) ? ('dead' as const) : ('live' as const) }]),
  );
  return planDrill(assessGroups(plan, states).groups);
}

describe('what to pull', () => {
  test('each cable, then each controller, then each switch, with what goes and what stays', () => {
    const steps = drill([port('A', 'sw-1'), port('B', 'sw-2')]);
    expect(steps.map((s) => `${s.pull.kind} ${s.pull.name}: ${s.expect}`)).toEqual([
      'cable vault-1/A/mgmt: survives',
      'cable vault-1/B/mgmt: survives',
      'controller vault-1/A: survives',
      'controller vault-1/B: survives',
      'switch sw-1: survives',
      'switch sw-2: survives',
    ]);
    expect(steps[0]).toMatchObject({
      instruction: 'Pull the network cable at vault-1/A/mgmt.',
      affected: ['vault-1/A/mgmt'],
      survivors: ['vault-1/B/mgmt'],
    });
    expect(steps[0]?.caution).toBeUndefined();
    expect(steps[4]?.caution).toContain('Other groups');
  });

  test('a single point is planned with a warning', () => {
    const steps = drill([port('A', 'sw-1'), port('B', 'sw-1')]);
    const last = steps.find((s) => s.pull.kind === 'switch');
    expect(last).toMatchObject({ expect: 'lost', survivors: [] });
    expect(last?.caution).toContain('This ends vault-1 mgmt');
    expect(summariseDrill(steps)).toBe('5 pulls for 1 group; 1 pull would end a group (vault-1 mgmt)');
  });

  test('a feed of a device that has two takes nothing away', () => {
    const steps = drill([port('A', 'sw-1'), port('B', 'sw-2')], [], {
      'vault-1': ['A', 'B'],
      'sw-1': ['A'],
      'sw-2': ['B'],
    });
    const feed = steps.filter((s) => s.pull.kind === 'feed');
    expect(feed.map((s) => [s.pull.name, s.affected])).toEqual([
      ['A', ['vault-1/A/mgmt']],
      ['B', ['vault-1/B/mgmt']],
    ]);
  });

  test('a path that does not work is not pulled; a group that does not work has no step', () => {
    const both = [port('A', 'sw-1'), port('B', 'sw-2')];
    expect(drill(both, ['vault-1/B/mgmt']).map((s) => s.pull.name)).toEqual([
      'vault-1/A/mgmt',
      'vault-1/A',
      'sw-1',
    ]);
    expect(drill(both, ['vault-1/A/mgmt', 'vault-1/B/mgmt'])).toEqual([]);
  });
});
