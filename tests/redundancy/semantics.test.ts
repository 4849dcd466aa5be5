import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Endpoint, Plan } from '../../src/plan/model.js';
import { assessGroups } from '../../src/redundancy/index.js';
import { aDevice, aGroup, anEndpoint, aPlan } from '../support/evidence.js';

/**
 * DESIGN 6 once more, written down independently of src/redundancy: a thing is lost, the endpoints that it carries stop
 * working, pairs of a host port and a data port that share a network are counted.
 */
const STATES = ['live', 'dead', 'unproven'] as const;
const port = fc.record({
  controller: fc.constantFrom('A', 'B'),
  network: fc.constantFrom('n1', 'n2'),
  sw: fc.constantFrom('s1', 's2'),
  measured: fc.option(fc.constantFrom('s1', 's2'), { nil: undefined }),
  state: fc.constantFrom(...STATES),
});
const feeds = fc.constantFrom<string[]>([], ['A'], ['B'], ['A', 'B']);
const site = fc.record({
  hosts: fc.array(port, { minLength: 1, maxLength: 3 }),
  data: fc.array(port, { minLength: 1, maxLength: 4 }),
  feeds: fc.record({ press: feeds, vault: feeds, s1: feeds, s2: feeds }),
  need: fc.integer({ min: 1, max: 3 }),
});
type Site = typeof site extends fc.Arbitrary<infer T> ? T : never;
type Port = Site['hosts'][number];

function planOf({ hosts, data, feeds: on, need }: Site): Plan {
  const make =
    (device: string, role: 'host' | 'data') =>
    (p: Port, n: number): Endpoint =>
      anEndpoint(`${device}/${p.controller}/p${n}`, { role, network: p.network, switch: p.sw });
  const ends = data.map(make('vault', 'data'));
  return aPlan({
    devices: Object.entries(on).map(([name, list]) => aDevice(name, { feeds: list })),
    endpoints: [...hosts.map(make('press', 'host')), ...ends],
    groups: [
      aGroup(
        'array',
        ends.map((e) => e.id),
        { independent: ['network'] },
      ),
      aGroup('way', [], { from: 'press', to: 'array', need, independent: ['network'] }),
    ],
  });
}

/** Things whose loss, alone, leaves fewer than `need` of the given pairs. */
function singlePoints(s: Site, pairs: readonly (readonly [Port, number, Port])[]): string[] {
  const switchOf = (p: Port) => p.measured ?? p.sw;
  const powered = (box: string, lost: string) => {
    const all = s.feeds[box as keyof Site['feeds']];
    return all.length === 0 || all.some((feed) => `feed ${feed}` !== lost);
  };
  const works = ([host, n, end]: readonly [Port, number, Port], lost: string) =>
    ![
      `host-port press/${host.controller}/p${n}`,
      `adapter press/${host.controller}`,
      `controller vault/${end.controller}`,
      `network ${end.network}`,
      ...[host, end].map((p) => `switch ${switchOf(p)}`),
    ].includes(lost) && ['press', 'vault', switchOf(host), switchOf(end)].every((box) => powered(box, lost));
  const things = [
    ...['A', 'B'].flatMap((x) => [`controller vault/${x}`, `adapter press/${x}`, `feed ${x}`]),
    ...['1', '2'].flatMap((x) => [`switch s${x}`, `network n${x}`]),
    ...s.hosts.map((p, n) => `host-port press/${p.controller}/p${n}`),
  ];
  return things.filter((thing) => pairs.filter((pair) => works(pair, thing)).length < s.need).sort();
}

describe('from a host to an array, any plan and any states', () => {
  test('verdict and single points are those of counting by hand', () => {
    fc.assert(
      fc.property(site, (s) => {
        const plan = planOf(s);
        const liveness = new Map(
          [...s.hosts, ...s.data].map((p, n) => [
            plan.endpoints[n]?.id ?? '',
            { state: p.state, measured: { switch: p.measured } },
          ]),
        );
        const group = assessGroups(plan, liveness).groups.find((g) => g.name === 'way');
        const pairs = s.hosts.flatMap((h, n) =>
          s.data.filter((d) => d.network === h.network).map((d) => [h, n, d] as const),
        );
        const live = pairs.filter(([h, , d]) => h.state === 'live' && d.state === 'live');
        const notDead = pairs.filter(([h, , d]) => h.state !== 'dead' && d.state !== 'dead');
        expect(group?.live).toHaveLength(live.length);
        if (notDead.length < s.need) {
          expect(group?.verdict).toBe('lost');
          return;
        }
        const certain = singlePoints(s, notDead);
        const names = group?.singlePoints.map((t) => `${t.kind} ${t.name}`).sort();
        if (live.length < s.need) {
          expect(group?.verdict).toBe('unproven');
          return;
        }
        if (live.length > s.need && singlePoints(s, live).length === 0) {
          expect(names).toEqual([]);
          expect(group?.verdict).toBe('redundant');
          return;
        }
        expect(names).toEqual(certain);
        const sure = certain.length > 0 || notDead.length === s.need;
        expect(group?.verdict).toBe(sure ? 'at-risk' : 'unproven');
      }),
      { numRuns: 800 },
    );
  });
});
