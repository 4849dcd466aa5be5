import { describe, expect, test } from 'vitest';
import type { Endpoint, Group, Plan } from '../../src/plan/model.js';
import { assessGroups, type EndpointLiveness, reviewGroups } from '../../src/redundancy/index.js';
import { AT, aDevice, aGroup, aNetwork, anEndpoint, aPlan } from '../support/evidence.js';

const NETWORKS = [aNetwork('data-a', '198.51.100.0/25'), aNetwork('data-b', '198.51.100.128/25')];
const DATA = 'vault-1 data';

/** vault-1 with matching ports of both controllers on both switches: four paths, one needed. */
function meshed(
  more: { independent?: string[]; need?: number; feeds?: Record<string, string[]> } = {},
): Plan {
  const feeds = more.feeds ?? {};
  const port = (controller: string, number: 0 | 1): Endpoint =>
    anEndpoint(`vault-1/${controller}/data${number}`, {
      role: 'data',
      network: number === 0 ? 'data-a' : 'data-b',
      switch: `loft-switch-${number + 1}`,
      group: DATA,
      speedMbps: 10_000,
    });
  const endpoints = [port('A', 0), port('B', 0), port('A', 1), port('B', 1)];
  return aPlan({
    networks: NETWORKS,
    devices: ['vault-1', 'loft-switch-1', 'loft-switch-2'].map((name) =>
      aDevice(name, { feeds: feeds[name] ?? [] }),
    ),
    endpoints,
    groups: [
      aGroup(
        DATA,
        endpoints.map((e) => e.id),
        { need: more.need ?? 1, independent: more.independent ?? ['controller', 'switch', 'network'] },
      ),
    ],
  });
}

type States = Record<string, EndpointLiveness | EndpointLiveness['state']>;
function live(plan: Plan, except: States = {}): Map<string, EndpointLiveness> {
  return new Map(
    plan.endpoints.map(({ id }) => {
      const said = except[id] ?? 'live';
      return [id, typeof said === 'string' ? { state: said } : said];
    }),
  );
}
function assess(plan: Plan, except: States = {}) {
  const { groups, findings } = assessGroups(plan, live(plan, except));
  return { group: groups[0], findings, codes: findings.map((f) => `${f.severity} ${f.code} ${f.subject}`) };
}

describe('a group as found', () => {
  test('four live paths over two controllers, switches and networks: redundant, three pairs end it', () => {
    const { group, codes } = assess(meshed());
    expect(group).toMatchObject({ verdict: 'redundant', singlePoints: [] });
    expect(group?.pairs).toEqual([
      [
        { kind: 'controller', name: 'vault-1/A' },
        { kind: 'controller', name: 'vault-1/B' },
      ],
      [
        { kind: 'switch', name: 'loft-switch-1' },
        { kind: 'switch', name: 'loft-switch-2' },
      ],
      [
        { kind: 'switch', name: 'loft-switch-1' },
        { kind: 'network', name: 'data-b' },
      ],
      [
        { kind: 'switch', name: 'loft-switch-2' },
        { kind: 'network', name: 'data-a' },
      ],
      [
        { kind: 'network', name: 'data-a' },
        { kind: 'network', name: 'data-b' },
      ],
    ]);
    expect(codes).toEqual([]);
  });

  test('one controller silent: at risk, its partner is the single point of the site and not of the plan', () => {
    const { group, findings, codes } = assess(meshed(), {
      'vault-1/B/data0': { state: 'dead', why: 'nobody claims 198.51.100.12' },
      'vault-1/B/data1': 'dead',
    });
    expect(group).toMatchObject({
      verdict: 'at-risk',
      live: ['vault-1/A/data0', 'vault-1/A/data1'],
      singlePoints: [{ kind: 'controller', name: 'vault-1/A' }],
      asPlanned: { verdict: 'redundant', singlePoints: [] },
    });
    expect(codes).toEqual([
      'fix path-missing vault-1/B/data0',
      'fix path-missing vault-1/B/data1',
      `fix single-point ${DATA}`,
    ]);
    expect(findings[0]?.evidence).toContain('nobody claims 198.51.100.12');
    expect(findings[2]?.message).toContain('the plan has another path, and the site does not');
  });

  test('both paths measured on one switch while the plan says two: the measured switch is the single point', () => {
    const onOne = { state: 'live', measured: { switch: 'loft-switch-1' } } as const;
    const { group, findings } = assess(meshed(), { 'vault-1/A/data1': onOne, 'vault-1/B/data1': onOne });
    expect(group).toMatchObject({
      verdict: 'at-risk',
      singlePoints: [{ kind: 'switch', name: 'loft-switch-1' }],
      asPlanned: { verdict: 'redundant' },
    });
    const sources = group?.paths.map((p) => p.things.find((t) => t.kind === 'switch')?.source);
    expect(sources).toEqual(['planned', 'planned', 'measured', 'measured']);
    expect(findings[0]?.evidence[0]).toContain('vault-1/A/data1 (measured)');
  });

  test('no way through: lost, whatever the single points were', () => {
    const all = Object.fromEntries(meshed().endpoints.map((e) => [e.id, 'dead' as const]));
    const { group, codes } = assess(meshed(), all);
    expect(group).toMatchObject({ verdict: 'lost', live: [], singlePoints: [], pairs: [] });
    expect(codes).toContain(`fix group-lost ${DATA}`);
    expect(codes.filter((code) => code.includes('single-point'))).toEqual([]);
  });

  test('one path left of four: every part of it is a single point', () => {
    const { group } = assess(meshed(), {
      'vault-1/B/data0': 'dead',
      'vault-1/A/data1': 'dead',
      'vault-1/B/data1': 'dead',
    });
    expect(group?.singlePoints.map((t) => t.kind)).toEqual(['controller', 'switch', 'network']);
  });

  test('need 4 of 4: at risk even where no path may fail for another reason', () => {
    const { group } = assess(meshed({ need: 4 }));
    expect(group?.verdict).toBe('at-risk');
    expect(group?.asPlanned.verdict).toBe('at-risk');
  });

  test('paths without any known thing and none to spare: at risk, said without a name', () => {
    const plan = aPlan({
      endpoints: ['press-1/m1', 'press-1/m2'].map((id) => anEndpoint(id, { group: 'press-1 m' })),
    });
    const { group, findings } = assess(plan, { 'press-1/m2': 'dead' });
    expect(group).toMatchObject({ verdict: 'at-risk', singlePoints: [] });
    expect(findings.at(-1)).toMatchObject({ code: 'single-point', severity: 'fix' });
    expect(findings.at(-1)?.message).toContain('any one of them');
    expect(assess(plan).group?.verdict).toBe('redundant');
  });

  test('live paths of unequal measured speed are said once, slowest first', () => {
    const { findings } = assess(meshed(), {
      'vault-1/A/data0': { state: 'live', measuredSpeedMbps: 1000 },
      'vault-1/B/data0': { state: 'live', measuredSpeedMbps: 10_000 },
    });
    expect(findings.map((f) => f.code)).toEqual(['paths-unequal']);
    expect(findings[0]?.message).toContain('vault-1/A/data0 1G and vault-1/B/data0 10G');
  });
});

// DESIGN 2, honesty rule: what could not be tested from here is neither there nor missing.
describe('unproven paths', () => {
  test('one network out of reach: unproven, no finding, and the reason says what the rest hangs on', () => {
    const { group, codes } = assess(meshed(), {
      'vault-1/A/data1': 'unproven',
      'vault-1/B/data1': 'unproven',
    });
    expect(group).toMatchObject({ verdict: 'unproven', singlePoints: [] });
    expect(group?.reasons.join(' ')).toContain('switch loft-switch-1');
    expect(codes).toEqual([]);
  });

  test('enough live paths without the unproven one: redundant', () => {
    expect(assess(meshed(), { 'vault-1/B/data1': 'unproven' }).group?.verdict).toBe('redundant');
  });

  test('none live, some unproven: unproven; those cannot reach `need`: lost', () => {
    const three = {
      'vault-1/A/data0': 'dead',
      'vault-1/B/data0': 'dead',
      'vault-1/A/data1': 'dead',
    } as const;
    const open = { ...three, 'vault-1/B/data1': 'unproven' } as const;
    expect(assess(meshed(), open).group?.verdict).toBe('unproven');
    expect(assess(meshed({ need: 2 }), open).group?.verdict).toBe('lost');
  });

  test('a single point that even the unproven paths would not take away is named', () => {
    const { group } = assess(meshed(), {
      'vault-1/B/data0': 'dead',
      'vault-1/B/data1': 'dead',
      'vault-1/A/data1': 'unproven',
    });
    expect(group).toMatchObject({
      verdict: 'at-risk',
      singlePoints: [{ kind: 'controller', name: 'vault-1/A' }],
    });
  });

  test('an endpoint that the evidence does not have at all is unproven', () => {
    expect(assessGroups(meshed(), new Map()).groups[0]?.verdict).toBe('unproven');
  });
});

describe('things', () => {
  test('one feed behind both switches is a single point though each path has its own switch', () => {
    const { group, codes } = assess(
      meshed({ feeds: { 'vault-1': ['A', 'B'], 'loft-switch-1': ['A'], 'loft-switch-2': ['A'] } }),
    );
    expect(group?.singlePoints).toEqual([{ kind: 'feed', name: 'A' }]);
    // The plan had it and does not promise separate feeds: said, not to be mended before handover.
    expect(codes).toEqual([`note single-point ${DATA}`]);
  });

  test('a switch on each feed and an array on both: redundant, and the two feeds are a pair', () => {
    const { group } = assess(
      meshed({ feeds: { 'vault-1': ['A', 'B'], 'loft-switch-1': ['A'], 'loft-switch-2': ['B'] } }),
    );
    expect(group?.verdict).toBe('redundant');
    expect(group?.pairs).toContainEqual([
      { kind: 'feed', name: 'A' },
      { kind: 'feed', name: 'B' },
    ]);
    expect(group?.paths[0]?.either).toEqual([
      [
        { kind: 'feed', name: 'A' },
        { kind: 'feed', name: 'B' },
      ],
    ]);
  });

  test('a column of the list that `independent` names is a kind of thing, whatever its spelling', () => {
    const card = (id: string, text: string) =>
      anEndpoint(id, { role: 'data', network: 'data-a', group: DATA, extra: { 'Slot Card': text } });
    const plan = (a: string, b: string) =>
      aPlan({
        networks: NETWORKS,
        endpoints: [card('vault-1/A/x', a), card('vault-1/B/x', b)],
        groups: [aGroup(DATA, ['vault-1/A/x', 'vault-1/B/x'], { independent: ['slot-card'] })],
      });
    expect(assess(plan('riser-1', 'riser-1')).group?.singlePoints).toEqual([
      { kind: 'slot-card', name: 'riser-1' },
    ]);
    expect(assess(plan('riser-1', 'riser-2')).group?.verdict).toBe('redundant');
    expect(assess(plan('riser-1', '')).group?.reasons.join(' ')).toContain('vault-1/B/x');
  });

  test('one management network is one by intent, unless the plan asks for separate ones', () => {
    const group = (independent: string[]) =>
      aPlan({
        endpoints: ['A', 'B'].map((c) =>
          anEndpoint(`vault-1/${c}/mgmt`, { network: 'mgmt', switch: `mgmt-switch-${c}`, group: 'm' }),
        ),
        groups: [aGroup('m', ['vault-1/A/mgmt', 'vault-1/B/mgmt'], { independent })],
      });
    const silent = assess(group([])).group;
    expect(silent?.verdict).toBe('redundant');
    expect(silent?.reasons.join(' ')).toContain('All paths share the network mgmt');
    expect(assess(group(['Network'])).group?.singlePoints).toEqual([{ kind: 'network', name: 'mgmt' }]);
  });

  test('the device is no thing, unless `independent` names it', () => {
    expect(assess(meshed({ independent: ['device'] })).group?.singlePoints).toEqual([
      { kind: 'device', name: 'vault-1' },
    ]);
  });
});

describe('from a host to a group', () => {
  function hosted(more: { adapters?: [string, string]; need?: number; fabric?: boolean } = {}): Plan {
    const base = meshed();
    const [first, second] = more.adapters ?? ['HBA0', 'HBA1'];
    const host = (adapter: string, port: string, network: string, sw: string) =>
      anEndpoint(`press-1/${adapter}/${port}`, { role: 'host', network, switch: sw });
    const hosts = [
      host(first, 'p0', 'data-a', 'loft-switch-1'),
      host(second, 'p1', 'data-b', 'loft-switch-2'),
    ];
    const to: Group = aGroup('press-1 to vault-1', [], {
      need: more.need ?? 2,
      from: 'press-1',
      to: DATA,
    });
    return {
      ...base,
      networks: more.fabric ? ['data-a', 'data-b'].map((name) => aNetwork(name)) : base.networks,
      devices: [...base.devices, aDevice('press-1')],
      endpoints: [...base.endpoints, ...hosts],
      groups: [...base.groups, to],
    };
  }
  const of = (plan: Plan, except: States = {}) => {
    const { groups, findings } = assessGroups(plan, live(plan, except));
    return { group: groups.find((g) => g.name === 'press-1 to vault-1'), findings };
  };

  test.each([false, true])(
    'pairs of host and data ports that share a network (fabric without addresses: %s)',
    (fabric) => {
      const { group } = of(hosted({ fabric }));
      expect(group?.planned).toEqual([
        'press-1/HBA0/p0 -> vault-1/A/data0',
        'press-1/HBA0/p0 -> vault-1/B/data0',
        'press-1/HBA1/p1 -> vault-1/A/data1',
        'press-1/HBA1/p1 -> vault-1/B/data1',
      ]);
      expect(group).toMatchObject({ verdict: 'redundant', need: 2 });
      expect(group?.paths[0]?.things.map((t) => `${t.kind} ${t.name}`)).toEqual([
        'host-port press-1/HBA0/p0',
        'adapter press-1/HBA0',
        'switch loft-switch-1',
        'network data-a',
        'controller vault-1/A',
      ]);
    },
  );

  test('both host ports on one adapter: the adapter ends it', () => {
    expect(of(hosted({ adapters: ['HBA0', 'HBA0'] })).group?.singlePoints).toEqual([
      { kind: 'adapter', name: 'press-1/HBA0' },
    ]);
  });

  test('the adapter of a host without controllers stands in a column of that name (DESIGN 6, "its adapter if named")', () => {
    const plan = hosted({ adapters: ['HBA0', 'HBA1'] });
    const endpoints = plan.endpoints.map((endpoint) =>
      endpoint.role === 'host'
        ? { ...endpoint, controller: undefined, extra: { Adapter: 'card-1' } }
        : endpoint,
    );
    expect(of({ ...plan, endpoints }).group?.singlePoints).toEqual([
      { kind: 'adapter', name: 'press-1/card-1' },
    ]);
  });

  test('need 3 of 4: each adapter, host port, switch, network and controller takes it below', () => {
    const { group } = of(hosted({ need: 3 }));
    expect(group?.singlePoints.map((t) => t.kind)).toEqual([
      'controller',
      'controller',
      'switch',
      'switch',
      'network',
      'network',
      'host-port',
      'host-port',
      'adapter',
      'adapter',
    ]);
  });

  test('a dead data port is reported with its own group, a dead host port with the host’s', () => {
    const { findings } = of(hosted(), { 'vault-1/A/data0': 'dead', 'press-1/HBA1/p1': 'dead' });
    const missing = findings
      .filter((f) => f.code === 'path-missing')
      .map((f) => `${f.subject}: ${f.message}`);
    expect(missing).toHaveLength(2);
    expect(missing[0]).toContain('of vault-1 data');
    expect(missing[1]).toContain('of press-1 to vault-1');
  });

  test('several host ports meeting at one port of a device without controllers: that port ends it', () => {
    const plan = aPlan({
      networks: NETWORKS,
      endpoints: [
        ...['p0', 'p1'].map((p) => anEndpoint(`press-1/${p}`, { role: 'host', network: 'data-a' })),
        anEndpoint('jar-1/lan', { role: 'data', network: 'data-a', group: 'jar' }),
      ],
      groups: [aGroup('way', [], { from: 'press-1', to: 'jar' })],
    });
    expect(assess(plan).group?.singlePoints).toEqual([{ kind: 'port', name: 'jar-1/lan' }]);
  });
});

describe('review: the plan alone', () => {
  const codes = (plan: Plan) =>
    reviewGroups(plan).findings.map((f) => `${f.severity} ${f.code} ${f.subject}`);

  test('a sound group has no finding and its verdict is that of the plan', () => {
    const { groups, findings } = reviewGroups(meshed());
    expect(findings).toEqual([]);
    expect(groups[0]).toMatchObject({ verdict: 'redundant', live: [], asPlanned: { verdict: 'redundant' } });
  });

  test('both planned paths through one switch: group-not-independent, which names it', () => {
    const plan = meshed();
    const endpoints = plan.endpoints.map((e) => ({ ...e, switch: 'loft-switch-1' }));
    const { findings } = reviewGroups({ ...plan, endpoints });
    expect(findings.map((f) => f.code)).toEqual(['group-not-independent']);
    expect(findings[0]).toMatchObject({ severity: 'fix', subject: DATA });
    expect(findings[0]?.message).toContain('switch loft-switch-1');
  });

  test('a shared thing of a kind that is not promised breaks no promise', () => {
    const plan = meshed({ independent: ['controller'] });
    const endpoints = plan.endpoints.map((e) => ({ ...e, switch: 'loft-switch-1' }));
    expect(codes({ ...plan, endpoints })).toEqual([]);
  });

  test('one path, or as many as needed: group-single-path', () => {
    expect(codes(meshed({ need: 4 }))).toEqual([`fix group-single-path ${DATA}`]);
    const one = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt', { group: 'm' })] });
    expect(codes(one)).toEqual(['fix group-single-path m']);
  });

  test('fewer paths than needed stops: before the visit, not after', () => {
    expect(codes(meshed({ need: 5 }))).toEqual([`stop need-not-met-by-plan ${DATA}`]);
    const plan = meshed();
    const way: Group = aGroup('way', [], { from: 'press-1', to: DATA });
    const { findings } = reviewGroups({ ...plan, groups: [...plan.groups, way] });
    expect(findings[0]?.message).toContain('press-1 has no endpoint with the role host');
  });

  test('unequal planned speeds are said', () => {
    const plan = meshed();
    const endpoints = plan.endpoints.map((e) => (e.port === 'data1' ? { ...e, speedMbps: 1000 } : e));
    expect(codes({ ...plan, endpoints })).toEqual([`note paths-unequal ${DATA}`]);
  });

  test('availability as planned, from stated figures only', () => {
    const plan = meshed({ independent: ['controller', 'switch'] });
    const stated = {
      ...plan,
      availability: ['switch', 'controller'].map((kind) => ({ kind, value: 0.999, at: AT })),
    };
    expect(reviewGroups(plan).groups[0]?.availability).toBeUndefined();
    // Two switches ∥ in series with two controllers ∥: (1 − 0.001²)².
    expect(reviewGroups(stated).groups[0]?.availability?.planned).toBeCloseTo((1 - 1e-6) ** 2, 12);
    const found = assessGroups(
      stated,
      live(stated, { 'vault-1/B/data0': 'dead', 'vault-1/B/data1': 'dead' }),
    );
    expect(found.groups[0]?.availability?.found).toBeCloseTo(0.999 * (1 - 1e-6), 12);
  });
});
