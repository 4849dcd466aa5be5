import { describe, expect, test } from 'vitest';
import { planDrill } from '../../src/drill/plan.js';
import { pullsOf } from '../../src/drill/pulls.js';
import { isBlind, sightOf, sightOfPlan, visibility } from '../../src/drill/watchable.js';
import { assessGroups } from '../../src/redundancy/index.js';
import { aDevice, anEndpoint, aPlan, aSighting, aTcp, UNCLAIMED } from '../support/evidence.js';
import { aMatrix, seen } from '../support/matrix.js';

const A = 'vault-1/A/data0';
const B = 'vault-1/B/data0';
const plan = aPlan({
  devices: [aDevice('vault-1', { feeds: ['A', 'B'] })],
  endpoints: [A, B].map((id, n) =>
    anEndpoint(id, {
      group: 'vault-1 data',
      network: 'data',
      switch: `sw-${n}`,
      address: `192.0.2.${n + 11}`,
    }),
  ),
});
const { groups } = assessGroups(plan, new Map([A, B].map((id) => [id, { state: 'live' as const }])));
const [group] = groups;
const steps = planDrill(groups);
const cable = steps.find(({ pull }) => pull.name === A);
const feed = steps.find(({ pull }) => pull.kind === 'feed');
if (group === undefined || cable === undefined || feed === undefined) throw new Error('no such step');

describe('what would be seen of a pull', () => {
  test.each<[string[], string]>([
    [[A, B], 'whole'],
    // It would be seen that A is gone, and not whether B goes on.
    [[A], 'part'],
    // Nobody would see that anything was pulled.
    [[B], 'none'],
    [[], 'none'],
  ])('of the cable at A, with %j watched: %s', (watched, expected) => {
    expect(visibility(cable, group, new Set(watched))).toBe(expected);
  });

  test('of a feed that takes nothing away: whether the group goes on', () => {
    expect(feed.affected).toEqual([]);
    expect(visibility(feed, group, new Set([A]))).toBe('whole');
    expect(visibility(feed, group, new Set())).toBe('none');
  });

  test('of what should end the group: that it goes', () => {
    const lost = { ...cable, expect: 'lost' as const };
    expect(visibility(lost, group, new Set([A]))).toBe('whole');
  });

  test('a pull is left out only where no group shows anything', () => {
    const [pull] = pullsOf([cable]);
    if (pull === undefined) throw new Error('no pull');
    expect(isBlind(pull, groups, new Set([A]))).toBe(false);
    expect(isBlind(pull, groups, new Set([B]))).toBe(true);
  });
});

test('each endpoint that is not watched has its reason', () => {
  const mixed = aPlan({
    endpoints: [
      anEndpoint('vault-1/A/fc0', { media: 'fc', group: 'g' }),
      anEndpoint('vault-1/B/away', { address: '192.0.2.12', group: 'g', services: 'ssh' }),
      anEndpoint('vault-1/B/mute', { address: '192.0.2.13', group: 'g', services: 'ssh' }),
      anEndpoint('vault-1/B/good', { address: '192.0.2.14', group: 'g', services: 'ssh' }),
    ],
  });
  const looks = {
    'vault-1/B/away': aSighting('192.0.2.12', { reach: 'no-route', echo: false, presence: UNCLAIMED }),
    'vault-1/B/mute': aSighting('192.0.2.13', { echo: false, tcp: [aTcp('ssh', 'refused')] }),
    'vault-1/B/good': aSighting('192.0.2.14', { answers: 'ssh' }),
  } as const;
  const own = assessGroups(mixed, new Map()).groups;
  const matrix = aMatrix(
    mixed,
    (id) => {
      const look = Object.entries(looks).find(([name]) => name === id)?.[1];
      return { verdict: 'matches', sightings: look === undefined ? [] : [seen('bench', look)] };
    },
    { groups: own },
  );
  const { questions, unwatched } = sightOf(matrix);
  expect(questions.map(({ endpoint, service }) => `${endpoint.id} ${service?.name}`)).toEqual([
    'vault-1/B/good ssh',
  ]);
  expect(unwatched).toEqual([
    { endpoint: 'vault-1/A/fc0', why: 'no-address' },
    { endpoint: 'vault-1/B/away', why: 'no-route' },
    { endpoint: 'vault-1/B/mute', why: 'no-answer' },
  ]);
  // From the plan alone only what has no address is known to be out of sight.
  expect(sightOfPlan(mixed, own).unwatched).toEqual([{ endpoint: 'vault-1/A/fc0', why: 'no-address' }]);
});
