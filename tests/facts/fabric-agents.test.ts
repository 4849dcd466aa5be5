/** Fibre Channel from the wire to the group: agents that serve RFC 2837 or RFC 4044, read as a run reads them, judged against a plan. */
import { afterEach, describe, expect, it } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import type { FabricTables } from '../../src/sighting/types.js';
import { readFabricTables } from '../../src/snmp/fabric-tables.js';
import { judge } from '../../src/verdicts/judge.js';
import { type Agent, type Objects, scriptedAgent } from '../snmp/scripted-agent.js';
import { community } from '../snmp/support.js';
import { aDevice, aGroup, aNetwork, anEndpoint, anEvidence, aPlan } from '../support/evidence.js';

const agents: Agent[] = [];
afterEach(async () => {
  for (const agent of agents.splice(0)) await agent.close();
});

/** RFC 2863 (ifTable, ifXTable), RFC 4044 (fcmFLoginPortWwn), RFC 2837 (fcFxPortName, fcFxPortNxPortName). */
const IF = '1.3.6.1.2.1.2.2.1';
const IFX = '1.3.6.1.2.1.31.1.1.1';
const MGMT = '1.3.6.1.2.1.10.56.1';
const FE = '1.3.6.1.2.1.75.1';
const PORTS = [0, 1, 2, 3];

const wwn = (last: number, kind = '20'): string =>
  `${kind}:00:00:00:5e:00:53:${last.toString(16).padStart(2, '0')}`;
const HOST = [wwn(0x10, '21'), wwn(0x11, '21')] as const;
const ARRAY = [wwn(0x20, '50'), wwn(0x21, '50')] as const;

/** Port name -> port it is logged in at. A port with nobody has no link. */
type Logins = Readonly<Record<string, number>>;

function objectsOf(own: number, logins: Logins, mib: 'RFC 2837' | 'RFC 4044'): Objects {
  const used = new Set(Object.values(logins));
  return [
    ...PORTS.flatMap(
      (port): Objects => [
        [`${IF}.3.${100 + port}`, { int: 56 }],
        [`${IF}.8.${100 + port}`, { int: used.has(port) ? 1 : 2 }],
        [`${IFX}.1.${100 + port}`, { text: `0/${port}` }],
        [`${IFX}.15.${100 + port}`, { gauge: 14_025 }],
        mib === 'RFC 4044'
          ? [`${MGMT}.3.1.2.${100 + port}`, { hex: wwn(own + port) }]
          : [`${FE}.1.5.1.2.1.${port + 1}`, { hex: wwn(own + port) }],
      ],
    ),
    ...Object.entries(logins).map(([name, port], n): Objects[number] =>
      mib === 'RFC 4044'
        ? [`${MGMT}.9.1.2.${100 + port}.${n + 1}`, { hex: name }]
        : [`${FE}.2.3.1.10.1.${port + 1}.${n + 1}`, { hex: name }],
    ),
  ];
}

async function readSwitch(name: string, own: number, logins: Logins, mib: 'RFC 2837' | 'RFC 4044') {
  const agent = await scriptedAgent(objectsOf(own, logins, mib));
  agents.push(agent);
  const target = { address: '127.0.0.1', credential: community(agent.port), switch: name };
  return readFabricTables(target, { timeoutMs: 500, attempts: 2 }, new AbortController().signal);
}

const fc = (id: string, role: 'host' | 'data', side: 'a' | 'b', wwpn: string, port: string): Endpoint =>
  anEndpoint(id, {
    role,
    media: 'fc',
    network: `fabric-${side}`,
    switch: `fabric-${side}-1`,
    switchPort: port,
    wwpn,
    speedMbps: 16_000,
    ...(role === 'data' ? { group: 'vault-1 fc' } : {}),
  });
const ENDPOINTS = [
  fc('press-1/fc0', 'host', 'a', HOST[0], '0/0'),
  fc('press-1/fc1', 'host', 'b', HOST[1], '0/0'),
  fc('vault-1/A/fc0', 'data', 'a', ARRAY[0], '0/2'),
  fc('vault-1/B/fc0', 'data', 'b', ARRAY[1], '0/2'),
];
const PLAN = aPlan({
  endpoints: ENDPOINTS,
  networks: [aNetwork('fabric-a'), aNetwork('fabric-b')],
  devices: ['fabric-a-1', 'fabric-b-1'].map((name) => aDevice(name, { snmp: 'site-ro' })),
  groups: [
    aGroup('vault-1 fc', ['vault-1/A/fc0', 'vault-1/B/fc0'], { independent: ['controller', 'switch'] }),
    aGroup('press-1 to vault-1', [], { from: 'press-1', to: 'vault-1 fc', independent: ['switch'] }),
  ],
});
const AS_PLANNED = { a: { [HOST[0]]: 0, [ARRAY[0]]: 2 }, b: { [HOST[1]]: 0, [ARRAY[1]]: 2 } };

async function judged(logins: { readonly a: Logins; readonly b?: Logins }) {
  const fabrics: FabricTables[] = [await readSwitch('fabric-a-1', 0xa0, logins.a, 'RFC 2837')];
  if (logins.b !== undefined) fabrics.push(await readSwitch('fabric-b-1', 0xb0, logins.b, 'RFC 4044'));
  const { endpoints, findings, groups } = judge(PLAN, [anEvidence({ fabrics })], { review: [] });
  const group = (name: string) => groups.find((one) => one.name === name);
  return {
    verdicts: endpoints.map(({ verdict }) => verdict),
    facts: (id: string) =>
      endpoints.find((one) => one.id === id)?.facts.map(({ fact, state }) => `${fact} ${state}`),
    codes: findings
      .filter(({ severity }) => severity !== 'note')
      .map(({ code, subject }) => `${code} ${subject}`),
    group,
    switches: group('vault-1 fc')?.paths.flatMap((path) =>
      path.things.filter(({ kind }) => kind === 'switch'),
    ),
  };
}

describe('a fabric read over SNMP', () => {
  it('proves every port, and the groups by measured switches', async () => {
    const { verdicts, facts, codes, group, switches } = await judged(AS_PLANNED);
    expect(verdicts).toEqual(['matches', 'matches', 'matches', 'matches']);
    expect(facts('vault-1/A/fc0')).toEqual([
      'link matches',
      'light matches',
      'speed matches',
      'switch-port matches',
    ]);
    expect(codes).toEqual([]);
    expect(group('vault-1 fc')?.verdict).toBe('redundant');
    expect(group('press-1 to vault-1')).toMatchObject({
      verdict: 'redundant',
      live: [expect.any(String), expect.any(String)],
    });
    expect(switches).toEqual([
      { kind: 'switch', name: 'fabric-a-1', source: 'measured' },
      { kind: 'switch', name: 'fabric-b-1', source: 'measured' },
    ]);
  });

  it('finds a cable in another port of its switch', async () => {
    const { codes } = await judged({ ...AS_PLANNED, a: { [HOST[0]]: 0, [ARRAY[0]]: 3 } });
    expect(codes).toEqual(['wrong-switch-port vault-1/A/fc0']);
  });

  it('finds both controllers in one fabric, though both have light', async () => {
    const { codes, switches } = await judged({
      a: { [HOST[0]]: 0, [ARRAY[0]]: 2, [ARRAY[1]]: 3 },
      b: { [HOST[1]]: 0 },
    });
    expect(codes).toContain('wrong-fabric vault-1/B/fc0');
    expect(codes.filter((code) => code.startsWith('wrong-'))).toHaveLength(1);
    expect(switches?.map(({ name }) => name)).toEqual(['fabric-a-1', 'fabric-a-1']);
  });

  it('calls a port that is not logged in missing, and the path with it', async () => {
    const { verdicts, codes, group } = await judged({ ...AS_PLANNED, b: { [HOST[1]]: 0 } });
    expect(verdicts).toEqual(['matches', 'matches', 'matches', 'differs']);
    expect(codes).toContain('link-down vault-1/B/fc0');
    expect(group('vault-1 fc')?.live).toEqual(['vault-1/A/fc0']);
  });

  it('leaves a fabric that was not read unproven', async () => {
    const { verdicts, codes, group } = await judged({ a: AS_PLANNED.a });
    expect(verdicts).toEqual(['matches', 'unproven', 'matches', 'unproven']);
    expect(codes.filter((code) => !code.startsWith('observation-open'))).toEqual([]);
    expect(group('vault-1 fc')?.verdict).toBe('unproven');
  });
});
