import { expect, test } from 'vitest';
import { planDrill } from '../../src/drill/plan.js';
import { pullsOf } from '../../src/drill/pulls.js';
import { assessGroups } from '../../src/redundancy/index.js';
import { anEndpoint, aPlan } from '../support/evidence.js';

/** Two groups of one device on the same two switches, each controller with a management and a data port. */
const endpoints = ['A', 'B'].flatMap((side) =>
  ['mgmt', 'data'].map((network) =>
    anEndpoint(`vault-1/${side}/${network}`, { network, group: `vault-1 ${network}`, switch: `sw-${side}` }),
  ),
);
const { groups } = assessGroups(
  aPlan({ endpoints }),
  new Map(endpoints.map(({ id }) => [id, { state: 'live' as const }])),
);
const steps = planDrill(groups);
const pulls = pullsOf(steps);

test('each thing is pulled once for all groups, cables before controllers before switches', () => {
  expect(pulls.map(({ pull, steps: own }) => `${pull.kind} ${pull.name} ${own.length}`)).toEqual([
    'cable vault-1/A/mgmt 1',
    'cable vault-1/B/mgmt 1',
    'cable vault-1/A/data 1',
    'cable vault-1/B/data 1',
    'controller vault-1/A 2',
    'controller vault-1/B 2',
    'switch sw-A 2',
    'switch sw-B 2',
  ]);
  expect(pulls.flatMap((pull) => pull.steps)).toHaveLength(steps.length);
});

test('what goes and what stays is that of all its groups; what it warns of is said once', () => {
  const pull = pulls.find((one) => one.pull.name === 'sw-A');
  expect(pull).toMatchObject({
    affected: ['vault-1/A/mgmt', 'vault-1/A/data'],
    survivors: ['vault-1/B/mgmt', 'vault-1/B/data'],
    expect: 'survives',
    caution: 'Other groups and devices may hang on this too: ask before you do it.',
  });
});

test('it ends where it should end one of its groups', () => {
  const lost = steps.map((step, index) => (index === 0 ? { ...step, expect: 'lost' as const } : step));
  expect(pullsOf(lost).map(({ expect: end }) => end)).toEqual(['lost', ...Array(7).fill('survives')]);
});
