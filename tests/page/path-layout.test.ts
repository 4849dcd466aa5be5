import { describe, expect, test } from 'vitest';
import type { GroupResult, PathResult } from '../../src/matrix/matrix.js';
import { layOut, PATHS_DRAWN } from '../../src/page/path-layout.js';
import { anEndpoint, aPlan } from '../support/evidence.js';
import { aMatrix } from '../support/matrix.js';

const around = { endpoints: new Map() };

/** The ports that the tests speak of, with the controllers they belong to. */
const known = {
  endpoints: new Map(
    aMatrix(
      aPlan({ endpoints: ['v/A/d0', 'v/B/d0'].map((id) => anEndpoint(id)) }),
      () => ({ verdict: 'unproven' }),
      { evidence: [] },
    ).endpoints.map((endpoint) => [endpoint.id, endpoint]),
  ),
};

function aPath(id: string, switches: readonly string[], state: PathResult['state'] = 'live'): PathResult {
  return {
    id,
    endpoints: id.split(' -> '),
    things: switches.map((name) => ({ kind: 'switch', name, source: 'planned' as const })),
    state,
  };
}

function aGroupOf(paths: readonly PathResult[], singlePoints: GroupResult['singlePoints'] = []): GroupResult {
  return {
    name: 'vault-1 data',
    need: 1,
    basis: 'measured',
    inferred: false,
    planned: paths.map(({ id }) => id),
    live: [],
    verdict: 'unproven',
    reasons: [],
    singlePoints,
    pairs: [],
    paths,
    asPlanned: { verdict: 'unproven', singlePoints: [], pairs: [] },
  };
}

describe('layout of a group', () => {
  test('any host at the left, never the laptop, each switch once, ports at the right', () => {
    const { nodes, columns, rows } = layOut(
      aGroupOf([aPath('v/A/d0', ['s1']), aPath('v/B/d0', ['s1'])]),
      around,
    );
    expect(nodes.map(({ name, column }) => [column, name])).toEqual([
      [0, 'Any host'],
      [1, 's1'],
      [2, 'v/A/d0'],
      [2, 'v/B/d0'],
    ]);
    expect([columns, rows]).toEqual([3, 2]);
  });

  test('a path over two switches takes four columns, and ports of shorter paths still stand at the right', () => {
    const { nodes } = layOut(
      aGroupOf([aPath('h/0 -> v/A/d0', ['s1', 's2']), aPath('h/1 -> v/B/d0', [])]),
      around,
    );
    expect(nodes.find(({ name }) => name === 'v/A/d0')?.column).toBe(3);
    expect(nodes.find(({ name }) => name === 'v/B/d0')?.column).toBe(3);
  });

  test('a controller as single point marks its ports; what stands nowhere on the drawing is told', () => {
    const singles = [
      { kind: 'controller', name: 'v/A' },
      { kind: 'feed', name: 'B' },
    ];
    const { nodes, unplaced } = layOut(
      aGroupOf([aPath('v/A/d0', ['s1']), aPath('v/B/d0', ['s1'])], singles),
      known,
    );
    expect(nodes.filter(({ single }) => single).map(({ name }) => name)).toEqual(['v/A/d0']);
    expect(unplaced).toEqual([{ kind: 'feed', name: 'B' }]);
  });

  test('of more paths than a drawing holds, those that do not live are kept', () => {
    const live = Array.from({ length: 60 }, (_, index) => aPath(`v/A/d${index}`, ['s1']));
    const { edges, pathsLeftOut } = layOut(aGroupOf([...live, aPath('v/B/d0', ['s2'], 'dead')]), around);
    expect(edges).toHaveLength(PATHS_DRAWN);
    expect(pathsLeftOut).toBe(61 - PATHS_DRAWN);
    expect(edges.map(({ path }) => path.id)).toContain('v/B/d0');
  });
});
