import { describe, expect, test } from 'vitest';
import { factChanges, turnOf } from '../../src/compare/fact-changes.js';
import { planChanges } from '../../src/compare/plan-changes.js';
import type { EndpointResult, FactResult } from '../../src/matrix/matrix.js';
import { anEndpoint, aPlan } from '../support/evidence.js';
import { aMatrix } from '../support/matrix.js';

const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/data0')] });
const speed = (state: FactResult['state'], measured: string, more: Partial<FactResult> = {}): FactResult => ({
  ...{ fact: 'speed', planned: '10G', measured, state, by: state === 'unproven' ? '' : 'measured' },
  ...{ vantage: 'bench', reason: `it is ${measured}` },
  ...more,
});
function endpoint(...facts: FactResult[]): EndpointResult {
  const [one] = aMatrix(plan, () => ({ verdict: 'matches', facts })).endpoints;
  if (one === undefined) throw new Error('no endpoint');
  return one;
}
const KNOWN = { old: true, new: true };
const turns = (was: FactResult[], is: FactResult[], known = KNOWN) =>
  factChanges(endpoint(...was), endpoint(...is), known).map(({ fact, service, turn, before, now }) =>
    [`${fact}${service === undefined ? '' : ` ${service}`}`, turn, before.measured, now.measured].join('|'),
  );

test.each([
  ['matches', 'differs', 'worse'],
  ['matches', 'missing', 'worse'],
  ['matches', 'unproven', 'no-longer-proven'],
  ['unproven', 'differs', 'found-wrong'],
  ['unproven', 'matches', 'now-proven'],
  ['differs', 'matches', 'better'],
  ['differs', 'missing', 'otherwise'],
  ['missing', 'unproven', 'otherwise'],
  ['matches', 'matches', undefined],
] as const)('%s -> %s: %s', (was, is, turn) => {
  expect(turnOf(was, is)).toBe(turn);
});

describe('drift: the state stayed', () => {
  test('a bare value that is another one', () => {
    expect(turns([speed('matches', '10G')], [speed('matches', '25G')])).toEqual(['speed|otherwise|10G|25G']);
    expect(turns([speed('differs', '1G')], [speed('differs', '100M')])).toEqual(['speed|otherwise|1G|100M']);
  });

  test('a description that is another one is none: an echo takes another time, a service words its answer', () => {
    const echo = (measured: string) => speed('matches', measured, { fact: 'echo' });
    const service = (measured: string) => speed('matches', measured, { fact: 'service', service: 'https' });
    expect(turns([echo('0.4 ms'), service('status 200')], [echo('0.9 ms'), service('200 OK')])).toEqual([]);
  });

  test('what somebody wrote is not held against what was measured', () => {
    expect(turns([speed('matches', 'lamp is white', { by: 'attested' })], [speed('matches', '10G')])).toEqual(
      [],
    );
  });
});

test('two services of one endpoint are two facts', () => {
  const service = (name: string, state: 'matches' | 'differs') =>
    speed(state, '', { fact: 'service', service: name });
  expect(
    turns(
      [service('https', 'matches'), service('ssh', 'matches')],
      [service('https', 'matches'), service('ssh', 'differs')],
    ),
  ).toEqual(['service ssh|worse||']);
});

describe('a result of a version without facts', () => {
  test('each fact of it counts as unproven: nothing got worse, nothing better', () => {
    const facts = [speed('differs', '1G'), speed('matches', '9000', { fact: 'mtu' })];
    expect(turns([], facts, { old: false, new: true })).toEqual([
      'speed|found-wrong||1G',
      'mtu|now-proven||9000',
    ]);
    expect(turns(facts, [], { old: true, new: false })).toEqual([
      'speed|otherwise|1G|',
      'mtu|no-longer-proven|9000|',
    ]);
  });
});

test('a fact that only one plan states is a change of the plan and no turn', () => {
  const vlan = speed('matches', '21', { fact: 'vlan', planned: '21' });
  expect(turns([speed('matches', '10G')], [speed('matches', '10G'), vlan])).toEqual([]);
  expect(planChanges(endpoint(speed('matches', '10G')), endpoint(vlan), true)).toEqual([
    { endpoint: 'vault-1/A/data0', what: 'speed', before: '10G', now: '' },
    { endpoint: 'vault-1/A/data0', what: 'vlan', before: '', now: '21' },
  ]);
  const [was, is] = [speed('matches', '10G'), speed('matches', '10G', { planned: '1G' })];
  expect(planChanges(endpoint(was), endpoint(is), true)).toMatchObject([
    { what: 'speed', before: '10G', now: '1G' },
  ]);
  const moved = { ...endpoint(was), address: '192.0.2.99' };
  expect(planChanges(endpoint(was), moved, true)).toMatchObject([{ what: 'address', now: '192.0.2.99' }]);
});
