import { expect, test } from 'vitest';
import type { Plan } from '../../src/plan/model.js';
import { PATHS_LIMIT, tooManyPaths } from '../../src/redundancy/ceiling.js';
import { assessGroups, reviewGroups } from '../../src/redundancy/index.js';
import { AT, anEndpoint, aPlan } from '../support/evidence.js';

const group = (name: string, more: object) => ({
  name,
  need: 1,
  independent: [],
  members: [],
  inferred: false,
  at: AT,
  ...more,
});

/** One host with `hosts` ports to an array with `ports`, by `groups` groups, all in one network. */
function meshed(hosts: number, ports: number, groups = 1): Plan {
  const data = Array.from({ length: ports }, (_, i) =>
    anEndpoint(`vault-1/A/d${i}`, { role: 'data', network: 'storage', switch: `loft-${i % 2}` }),
  );
  return aPlan({
    endpoints: [
      ...Array.from({ length: hosts }, (_, i) =>
        anEndpoint(`press-1/h${i}`, { role: 'host', network: 'storage', switch: `loft-${i % 2}` }),
      ),
      ...data,
    ],
    groups: [
      group('data', { members: data.map(({ id }) => id) }),
      ...Array.from({ length: groups }, (_, i) => group(`mesh-${i}`, { from: 'press-1', to: 'data' })),
    ],
  });
}

test('the largest that is held is judged whole', () => {
  const plan = meshed(128, 128);
  expect(tooManyPaths(plan).size).toBe(0);
  const live = new Map(plan.endpoints.map(({ id }) => [id, { state: 'live' as const }]));
  const mesh = assessGroups(plan, live).groups.find(({ name }) => name === 'mesh-0');
  expect(mesh?.paths).toHaveLength(PATHS_LIMIT.each);
  expect(mesh?.live).toHaveLength(PATHS_LIMIT.each);
}, 120_000);

test.each([
  ['two thousand ports to two thousand', meshed(2_000, 2_000), ['mesh-0 4000000']],
  ['one port more', meshed(129, 128), ['mesh-0 16512']],
])('%s: nothing is claimed of the group, and that is said', (_name, plan, expected) => {
  expect([...tooManyPaths(plan)].map(([name, paths]) => `${name} ${paths}`)).toEqual(expected);
  const live = new Map(plan.endpoints.map(({ id }) => [id, { state: 'live' as const }]));
  const site = assessGroups(plan, live);
  const names = new Set(tooManyPaths(plan).keys());
  const cut = site.groups.filter(({ name }) => names.has(name));
  for (const { verdict, paths, singlePoints, reasons } of cut) {
    expect([verdict, paths, singlePoints]).toEqual(['unproven', [], []]);
    expect(reasons.join(' ')).toMatch(/^It would have \d+ paths, more than are judged/);
  }
  expect(site.findings.filter(({ subject }) => names.has(subject))).toEqual([]);
  const told = reviewGroups(plan).findings.filter(({ subject }) => names.has(subject));
  expect(told.map(({ code, severity, subject }) => `${severity} ${code} ${subject}`)).toEqual(
    [...names].map((name) => `fix too-many-paths ${name}`),
  );
});

test('groups that are small enough each: those beyond the sum are not judged', () => {
  expect([...tooManyPaths(meshed(128, 128, 6)).keys()]).toEqual(['mesh-4', 'mesh-5']);
});
