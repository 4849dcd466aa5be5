import { expect, test } from 'vitest';
import { cableMoves } from '../../src/compare/cables.js';
import type { EndpointResult, EndpointSighting, FactResult } from '../../src/matrix/matrix.js';
import { anEndpoint, aPlan, aSighting, mac } from '../support/evidence.js';
import { aMatrix, seen } from '../support/matrix.js';

const IDS = ['vault-1/A/data0', 'vault-1/B/data0'];
const plan = aPlan({ endpoints: IDS.map((id) => anEndpoint(id)) });
type State = FactResult['state'];

/** Port of the switch in which each endpoint was seen (`-`: nowhere), and the state of its planned switch port. */
function run(...places: [string, State?][]): readonly EndpointResult[] {
  return aMatrix(plan, (id) => {
    const [port = '-', state] = places[IDS.indexOf(id)] ?? [];
    const cabling: EndpointSighting['cabling'] =
      port === '-' ? undefined : { switch: 'loft-switch', port, mac: mac(1), by: 'forwarding table' };
    return {
      verdict: 'matches',
      sightings: [seen('bench', aSighting('192.0.2.11', { by: mac(1) }), { cabling })],
      facts:
        state === undefined
          ? []
          : [
              {
                ...{ fact: 'switch-port', planned: '', measured: '', vantage: 'bench', reason: '' },
                state,
                by: '',
              },
            ],
    };
  }).endpoints;
}
const moves = (before: readonly EndpointResult[], now: readonly EndpointResult[], moving: string[] = []) =>
  cableMoves(
    before.map((one, index) => ({ before: one, now: now[index] ?? one, facts: [] })),
    new Set(moving),
  );

test.each<[string, ReturnType<typeof run>, ReturnType<typeof run>, object[]]>([
  ['none moved', run(['1'], ['2']), run(['1'], ['2']), []],
  [
    'away from where the plan has it',
    run(['1', 'matches'], ['2']),
    run(['7', 'differs'], ['2']),
    [{ endpoint: IDS[0], before: 'loft-switch 1', now: 'loft-switch 7', turn: 'worse' }],
  ],
  [
    'to where the plan has it',
    run(['7', 'differs'], ['2']),
    run(['1', 'matches'], ['2']),
    [{ turn: 'better' }],
  ],
  ['the plan names no switch port', run(['1'], ['2']), run(['7'], ['2']), [{ turn: 'unplanned' }]],
  [
    'two were swapped',
    run(['1', 'matches'], ['2', 'matches']),
    run(['2', 'differs'], ['1', 'differs']),
    [
      { endpoint: IDS[0], swappedWith: IDS[1] },
      { endpoint: IDS[1], swappedWith: IDS[0] },
    ],
  ],
  ['the switch tells it in one run only', run(['-'], ['2']), run(['7'], ['2']), []],
])('%s', (_what, before, now, expected) => {
  expect(moves(before, now)).toMatchObject(expected);
  expect(moves(before, now)).toHaveLength(expected.length);
});

test('an address that may move between devices has no hole of its own', () => {
  expect(moves(run(['1'], ['2']), run(['7'], ['2']), [IDS[0] ?? ''])).toEqual([]);
});
