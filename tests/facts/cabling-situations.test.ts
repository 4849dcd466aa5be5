/** What is said of link and cable in situations of real sites: one row a situation, in the words of those who plug the cables. */
import { describe, expect, test } from 'vitest';
import type { Endpoint, PlannedSwitchPort } from '../../src/plan/model.js';
import type { Evidence, FabricTables, SwitchTables } from '../../src/sighting/types.js';
import { judgeCabling } from '../cabling/judged.js';
import { aLink, aNeighbour, aPort, aSwitch, someLinks } from '../cabling/tables.js';
import {
  aDevice,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  mac,
  notRun,
} from '../support/evidence.js';

const SW1 = 'loft-switch-1';
const SW2 = 'loft-switch-2';
const FC1 = 'fabric-switch-1';
const FC2 = 'fabric-switch-2';
const IP = '198.51.100.11';
const M = mac(0x10);
const WWPN = '50:00:00:00:5e:00:53:10';
const OTHER = '50:00:00:00:5e:00:53:20';
const NETWORKS = [
  aNetwork('data-a', '198.51.100.0/25', { vlan: 21, mtu: 9000 }),
  aNetwork('data-b', '198.51.100.128/25', { vlan: 22, mtu: 9000 }),
  aNetwork('plain', '203.0.113.0/24'),
];

type Parts = Parameters<typeof anEvidence>[0];
interface Situation {
  /** What an engineer would say of it. */
  readonly so: string;
  readonly endpoint: Endpoint;
  /** Other endpoints of the plan. */
  readonly beside?: readonly Endpoint[];
  readonly seen?: Parts;
  /** Facts of the endpoint: `fact state cause`. A fact that is not named here is not asked about. */
  readonly facts: readonly string[];
  /** Facts that are not stated of it at all. */
  readonly none?: readonly string[];
  /** All findings, those of the device included. */
  readonly findings: readonly string[];
  readonly says?: RegExp;
  readonly fix?: RegExp;
}

function judged({ endpoint, beside = [], seen = {} }: Situation) {
  const devices = [
    ...[SW1, SW2, FC1, FC2].map((name) => aDevice(name, { snmp: 'site-ro' })),
    aDevice('vault-1', { feeds: ['A', 'B'] }),
  ];
  const plan = aPlan({ endpoints: [endpoint, ...beside], devices, networks: NETWORKS });
  const { perEndpoint, findings } = judgeCabling(plan, [anEvidence(seen)]);
  const own = perEndpoint.get(endpoint.id);
  return {
    own,
    facts: own?.facts ?? [],
    findings: [...(own?.facts ?? []).flatMap((f) => f.findings), ...findings],
  };
}

/** Evidence with every word of it that is meant for people replaced (DESIGN 5: no verdict changes with a language). */
function inOtherWords<T>(value: T): T {
  if (Array.isArray(value)) return value.map(inOtherWords) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, one]) => [
      key,
      typeof one === 'string' && ['reason', 'detail', 'mend', 'truncated'].includes(key)
        ? 'слово'
        : inOtherWords(one),
    ]),
  ) as T;
}
const decided = ({ fact, state, cause, by, path }: ReturnType<typeof judged>['facts'][number]) => ({
  fact,
  state,
  cause,
  by,
  path,
});

function check(situation: Situation): void {
  const { facts, findings } = judged(situation);
  const other = judged({ ...situation, seen: inOtherWords(situation.seen ?? {}) });
  expect(other.facts.map(decided)).toEqual(facts.map(decided));
  const named = new Set(situation.facts.map((line) => line.split(' ')[0]));
  const said = facts
    .filter(({ fact }) => named.has(fact))
    .map(({ fact, state, cause }) => [fact, state, cause].filter((word) => word !== undefined).join(' '));
  expect(said).toEqual(situation.facts);
  expect(findings.map(({ code, severity }) => (severity === 'note' ? `${code} (note)` : code))).toEqual(
    situation.findings,
  );
  for (const kind of situation.none ?? []) expect(facts.map(({ fact }) => fact)).not.toContain(kind);
  for (const { state, reason, by, measured } of facts) {
    expect(reason).not.toBe('');
    // What nobody measured has no value, and is called neither measured nor attested.
    expect(state === 'unproven' ? [by, measured] : [by !== '', measured !== '']).toEqual(
      state === 'unproven' ? ['', ''] : [true, true],
    );
  }
  if (situation.says !== undefined)
    expect(
      [...facts.map(({ reason }) => reason), ...findings.map(({ message }) => message)].join('\n'),
    ).toMatch(situation.says);
  if (situation.fix !== undefined)
    expect(facts.map(({ mend }) => mend ?? '').join('\n')).toMatch(situation.fix);
}

/** A data port in network `plain`, without VLAN and MTU, unless said. */
const port = (more: Partial<Endpoint> & { services?: never } = {}, id = 'vault-1/A/data0'): Endpoint =>
  anEndpoint(id, { role: 'data', network: 'plain', address: '203.0.113.11', ...(more as object) });
const at = (sw: string, switchPort: string, more: Partial<Endpoint> = {}, id?: string): Endpoint =>
  port({ switch: sw, switchPort, mac: M, ...more } as object, id);
const lag = (...members: readonly (readonly [string, string])[]): Endpoint => {
  const switchPorts: PlannedSwitchPort[] = members.map(([name, p]) => ({ switch: name, port: p }));
  return port({
    switch: members[0]?.[0],
    switchPort: members[0]?.[1],
    switchPorts,
    mac: M,
    speedMbps: 10_000,
  });
};
const learned = (sw: string, ifIndex: number, more: Partial<SwitchTables> = {}) =>
  aSwitch(sw, { [M]: ifIndex }, more);
const hears = (ifIndex: number, more = {}) =>
  aNeighbour(ifIndex, { chassisId: mac(0x1f), sysName: 'vault-1', ...more });

describe.each<[string, readonly Situation[]]>([
  [
    'speed',
    [
      {
        so: 'no credential in the plan, no switch planned: nobody can tell the speed',
        endpoint: port({ speedMbps: 10_000 } as object),
        facts: ['speed unproven no-credential'],
        findings: [],
        says: /no device told its speed: the plan names no SNMP credential for vault-1/,
        fix: /write the SNMP credential of vault-1 into the plan/,
      },
      {
        so: 'the credential is in the plan and its secret is not at hand',
        endpoint: port({ speedMbps: 10_000, snmp: 'site-ro' } as object),
        seen: {
          sightings: [aSighting('203.0.113.11', { snmp: notRun('no secret', undefined, 'secret-missing') })],
        },
        facts: ['speed unproven secret-missing'],
        findings: [],
      },
      {
        so: 'the agent does not answer',
        endpoint: port({ speedMbps: 10_000, snmp: 'site-ro' } as object),
        seen: {
          sightings: [
            aSighting('203.0.113.11', {
              snmp: { outcome: 'no-reply', credential: 'site-ro', cause: 'timeout' },
            }),
          ],
        },
        facts: ['speed unproven agent-silent'],
        findings: [],
      },
      {
        so: 'the agent tells its ports, and none is called as planned',
        endpoint: port({ speedMbps: 10_000, interface: 'e9' } as object),
        seen: { links: [someLinks('vault-1', [aLink(2)])] },
        facts: ['speed unproven port-not-found'],
        findings: [],
        fix: /write the name that the device gives to this port/,
      },
      {
        so: 'the agent knows the port and says no speed of it',
        endpoint: port({ speedMbps: 10_000, interface: 'eth2' } as object),
        seen: { links: [someLinks('vault-1', [aLink(2, { speedMbps: 0 })])] },
        facts: ['link matches', 'speed unproven not-told'],
        findings: [],
      },
      {
        so: '10G planned, up at 10G at both ends',
        endpoint: at(SW1, '1/7', { speedMbps: 10_000, interface: 'eth2' }),
        seen: { links: [someLinks('vault-1', [aLink(2)])], switches: [learned(SW1, 7)] },
        facts: ['link matches', 'speed matches', 'switch-port matches'],
        findings: [],
      },
      {
        so: 'the link is down: it has no speed, and one finding says why',
        endpoint: port({ speedMbps: 10_000, interface: 'eth2' } as object),
        seen: { links: [someLinks('vault-1', [aLink(2, { operStatus: 'down' })])] },
        facts: ['link differs link-down', 'speed unproven link-down'],
        findings: ['link-down'],
      },
    ],
  ],
  [
    'aggregated links',
    [
      {
        so: 'both cables where they are planned, on two switches, told by LLDP',
        endpoint: lag([SW1, '1/7'], [SW2, '1/7']),
        seen: {
          switches: [
            aSwitch(SW1, {}, { neighbours: [hears(7, { portId: M })] }),
            aSwitch(SW2, {}, { neighbours: [hears(7, { portId: mac(0x11) })] }),
          ],
        },
        facts: ['link matches', 'speed matches', 'switch-port matches'],
        findings: [],
        says: /all 2 members are in their planned ports/,
      },
      {
        so: 'both switches learned its MAC at their side of the group',
        endpoint: lag([SW1, '1/7'], [SW2, '1/7']),
        seen: {
          switches: [SW1, SW2].map((name) =>
            aSwitch(
              name,
              { [M]: 100 },
              {
                ports: [
                  aPort(7, { aggregate: 100 }),
                  aPort(100, { name: 'Po1', ifType: 161, speedMbps: 20_000 }),
                ],
              },
            ),
          ),
        },
        facts: ['speed matches', 'switch-port matches'],
        findings: [],
      },
      {
        so: 'one leg is dark: it works, and half of it is gone',
        endpoint: lag([SW1, '1/7'], [SW2, '1/7']),
        seen: {
          switches: [learned(SW1, 7), aSwitch(SW2, {}, { ports: [aPort(7, { operStatus: 'down' })] })],
        },
        facts: ['link differs leg-down', 'speed matches', 'switch-port unproven leg-down'],
        findings: ['link-member-down'],
        says: /aggregated link of 2, and 1 of them has no link: loft-switch-2 port Ethernet1\/7/,
      },
      {
        so: 'both legs are dark and nothing answers: no link',
        endpoint: lag([SW1, '1/7'], [SW2, '1/7']),
        seen: {
          switches: [SW1, SW2].map((name) =>
            aSwitch(name, {}, { ports: [aPort(7, { operStatus: 'down' })] }),
          ),
        },
        facts: ['link differs link-down', 'speed unproven link-down', 'switch-port unproven leg-down'],
        findings: ['link-down'],
      },
      {
        so: 'both planned ports are dark and it answers: its cables are in other ports',
        endpoint: lag([SW1, '1/7'], [SW2, '1/7']),
        seen: {
          sightings: [aSighting('203.0.113.11', { by: M })],
          switches: [SW1, SW2].map((name) =>
            aSwitch(name, {}, { ports: [aPort(7, { operStatus: 'down' })] }),
          ),
        },
        facts: ['switch-port differs in-another-port'],
        findings: ['wrong-switch-port'],
        says: /other ports, not identified/,
      },
      {
        so: 'one leg came up at 1G',
        endpoint: lag([SW1, '1/7'], [SW1, '1/8']),
        seen: {
          switches: [
            learned(SW1, 100, {
              ports: [
                aPort(7, { aggregate: 100 }),
                aPort(8, { aggregate: 100, speedMbps: 1000 }),
                aPort(100, { name: 'Po1', ifType: 161, speedMbps: 11_000 }),
              ],
            }),
          ],
        },
        facts: ['speed differs slower-leg', 'switch-port matches'],
        findings: ['speed-below-plan'],
        says: /came up at 1G, planned 10G \(switch loft-switch-1: port Ethernet1\/8\)/,
      },
      {
        so: 'the device tells the sum of its legs: that is no speed of one',
        endpoint: { ...lag([SW1, '1/7'], [SW2, '1/7']), interface: 'bond0' },
        seen: {
          links: [someLinks('vault-1', [aLink(9, { ifName: 'bond0', ifType: 161, speedMbps: 20_000 })])],
        },
        facts: ['link matches', 'speed unproven not-told'],
        findings: [],
      },
      {
        so: 'the second cable is in another port of the same switch',
        endpoint: lag([SW1, '1/7'], [SW1, '1/8']),
        seen: {
          switches: [aSwitch(SW1, {}, { neighbours: [hears(7, { portId: M }), hears(9, { portId: M })] })],
        },
        facts: ['switch-port differs in-another-port'],
        findings: ['wrong-switch-port'],
        says: /is on loft-switch-1 port Ethernet1\/9, planned loft-switch-1 port 1\/8/,
      },
      {
        so: 'another device hangs on the second planned port',
        endpoint: lag([SW1, '1/7'], [SW2, '1/7']),
        beside: [anEndpoint('press-1/nic')],
        seen: {
          switches: [
            learned(SW1, 7),
            aSwitch(SW2, {}, { neighbours: [hears(7, { chassisId: mac(0x50), sysName: 'press-1' })] }),
          ],
        },
        facts: ['switch-port differs something-else-there'],
        findings: ['wrong-switch-port'],
        says: /where press-1 is/,
      },
      {
        so: 'the second switch could not be read: half is proven, and that is not the whole',
        endpoint: lag([SW1, '1/7'], [SW2, '1/7']),
        seen: { switches: [learned(SW1, 7)] },
        facts: ['switch-port unproven no-agent'],
        findings: [],
        says: /1 of 2 members proven/,
      },
      {
        so: 'one cable planned, and it is really one of a group: heard in the other member',
        endpoint: at(SW1, '1/7'),
        seen: {
          switches: [
            aSwitch(
              SW1,
              {},
              {
                ports: [
                  aPort(7, { aggregate: 100 }),
                  aPort(8, { aggregate: 100 }),
                  aPort(100, { name: 'Po1', ifType: 161 }),
                ],
                neighbours: [hears(8, { portId: M })],
              },
            ),
          ],
        },
        facts: ['switch-port matches in-its-group'],
        findings: [],
      },
      {
        so: 'one cable planned, heard on the other switch of a pair, and the planned one learned its MAC in the same group',
        endpoint: at(SW2, '1/7'),
        seen: {
          switches: [SW1, SW2].map((name) =>
            aSwitch(
              name,
              { [M]: 100 },
              {
                ports: [aPort(7, { aggregate: 100 }), aPort(100, { name: 'Po1', ifType: 161 })],
                neighbours: name === SW1 ? [hears(7, { portId: M })] : [],
              },
            ),
          ),
        },
        facts: ['switch-port matches in-its-group'],
        findings: [],
      },
      {
        so: 'one cable planned, no group anywhere, heard on the other switch: it is there',
        endpoint: at(SW2, '1/7'),
        seen: { switches: [aSwitch(SW1, {}, { neighbours: [hears(7, { portId: M })] }), learned(SW2, 7)] },
        facts: ['switch-port differs on-another-switch'],
        findings: ['wrong-switch-port'],
      },
      {
        so: 'one cable planned, heard on two switches: the planned one counts',
        endpoint: at(SW2, '1/7'),
        seen: {
          switches: [SW1, SW2].map((name) => aSwitch(name, {}, { neighbours: [hears(7, { portId: M })] })),
        },
        facts: ['switch-port matches'],
        findings: [],
      },
    ],
  ],
  [
    'switch port',
    [
      {
        so: 'the planned port is dark, and the device answers behind a router: in another port, not without link',
        endpoint: at(SW1, '1/7', { mac: undefined }),
        seen: {
          sightings: [aSighting('203.0.113.11', { reach: 'routed', answers: 'ssh' })],
          switches: [aSwitch(SW1, {}, { ports: [aPort(7, { operStatus: 'down' })] })],
        },
        facts: ['switch-port differs in-another-port'],
        findings: ['wrong-switch-port'],
      },
      {
        so: 'the planned port is dark, and another device has the address: no link',
        endpoint: at(SW1, '1/7'),
        seen: {
          sightings: [aSighting('203.0.113.11', { by: mac(0x66) })],
          switches: [aSwitch(SW1, {}, { ports: [aPort(7, { operStatus: 'down' })] })],
        },
        facts: ['link differs link-down', 'switch-port unproven link-down'],
        findings: ['link-down'],
      },
      {
        so: 'something else is in its planned port, and it is seen nowhere: the link there is not its own',
        endpoint: at(SW1, '1/7', { speedMbps: 10_000 }),
        beside: [at(SW1, '1/9', { address: '203.0.113.12', mac: mac(0x40) }, 'press-1/nic')],
        seen: { switches: [aSwitch(SW1, { [mac(0x40)]: 7 })] },
        facts: ['speed unproven no-credential', 'switch-port unproven something-else-there'],
        findings: [],
        says: /has press-1\/nic in it/,
      },
      {
        so: 'something else is in its planned port, and it answers: it is in another port',
        endpoint: at(SW1, '1/7', { mac: undefined }),
        beside: [anEndpoint('press-1/nic')],
        seen: {
          sightings: [aSighting('203.0.113.11', { reach: 'routed', answers: 'ssh' })],
          switches: [
            aSwitch(SW1, {}, { neighbours: [hears(7, { chassisId: mac(0x50), sysName: 'press-1' })] }),
          ],
        },
        facts: ['switch-port differs something-else-there'],
        findings: ['wrong-switch-port'],
      },
      {
        so: 'cable in uplink1 of the other switch, planned port1: never taken for the same',
        endpoint: at(SW1, 'port1'),
        seen: {
          switches: [
            aSwitch(SW1, {}, { ports: [aPort(1, { name: 'port1' })] }),
            learned(SW2, 1, { ports: [aPort(1, { name: 'uplink1' })] }),
          ],
        },
        facts: ['switch-port differs on-another-switch'],
        findings: ['wrong-switch-port'],
      },
      {
        so: 'planned port1 on a switch that has only an uplink1 with that number: not compared',
        endpoint: at(SW1, 'port1'),
        seen: { switches: [learned(SW1, 1, { ports: [aPort(1, { name: 'uplink1' })] })] },
        facts: ['switch-port unproven port-unknown'],
        findings: [],
      },
      {
        so: 'planned 1, with gi1, Po1 and vlan1 on the switch: gi1',
        endpoint: at(SW1, '1'),
        seen: {
          switches: [
            learned(SW1, 1, {
              ports: [
                aPort(1, { name: 'gi1' }),
                aPort(100, { name: 'Po1', ifType: 161 }),
                aPort(200, { name: 'vlan1', ifType: 136 }),
              ],
            }),
          ],
        },
        facts: ['link matches', 'switch-port matches'],
        findings: [],
      },
      {
        so: 'the switch learned it at the logical unit 1/7.0: that is port 1/7',
        endpoint: at(SW1, '1/7'),
        seen: {
          switches: [
            learned(SW1, 507, {
              ports: [aPort(7, { name: '1/7' }), aPort(507, { name: '1/7.0', ifType: 53 })],
            }),
          ],
        },
        facts: ['switch-port matches'],
        findings: [],
      },
      {
        so: 'planned as logical unit, learned at the port',
        endpoint: at(SW1, '1/7.0'),
        seen: { switches: [learned(SW1, 7, { ports: [aPort(7, { name: '1/7' })] })] },
        facts: ['switch-port matches'],
        findings: [],
      },
      {
        so: 'the planned switch told the table of one VLAN only: its silence proves nothing',
        endpoint: at(SW2, '1/7', { network: 'data-a', address: IP }),
        beside: [
          at(SW2, '1/9', { network: 'data-b', address: '198.51.100.140', mac: mac(0x40) }, 'vault-1/A/data1'),
        ],
        seen: { switches: [learned(SW1, 48), aSwitch(SW2, {}, { allVlans: false })] },
        facts: ['switch-port unproven may-lie-behind'],
        findings: [],
      },
      {
        so: 'the planned switch told all its VLANs and does not have it: it is on the other',
        endpoint: at(SW2, '1/7', { network: 'data-a', address: IP }),
        beside: [
          at(SW2, '1/9', { network: 'data-b', address: '198.51.100.140', mac: mac(0x40) }, 'vault-1/A/data1'),
        ],
        seen: { switches: [learned(SW1, 48), aSwitch(SW2, {}, { allVlans: true, vlans: [21, 22] })] },
        facts: ['switch-port differs on-another-switch'],
        findings: ['wrong-switch-port'],
      },
      {
        so: 'a switch of several VLANs told one, and has not learned it there: said as that',
        endpoint: at(SW2, '1/7', { network: 'data-a', address: IP }),
        beside: [
          at(SW2, '1/9', { network: 'data-b', address: '198.51.100.140', mac: mac(0x40) }, 'vault-1/A/data1'),
        ],
        seen: { switches: [aSwitch(SW2)] },
        facts: ['switch-port unproven one-vlan-only'],
        findings: [],
        says: /tells the table of one VLAN only/,
      },
      {
        so: 'nobody read the planned switch',
        endpoint: at(SW1, '1/7'),
        facts: ['switch-port unproven no-agent'],
        findings: [],
      },
      {
        so: 'an address that moves between devices has no one switch port',
        endpoint: at(SW1, '1/7', { virtual: true }),
        seen: { switches: [learned(SW1, 9)] },
        facts: ['switch-port unproven virtual-address'],
        findings: [],
      },
    ],
  ],
])('%s', (_, situations) => {
  test.each(situations)('$so', check);
});

const inA = (more: Partial<Endpoint> = {}) => at(SW1, '1/7', { network: 'data-a', address: IP, ...more });
const entry = (vlan: number | undefined, ifIndex = 7) => ({
  mac: M,
  ifIndex,
  status: 'learned' as const,
  ...(vlan === undefined ? {} : { vlan }),
});
const ownLink = (vlan: number): Parts => ({
  sightings: [aSighting(IP, { by: M, interface: 'eth0' })],
  ownNeighbours: [aNeighbour(1, { localPort: 'eth0', vlan })],
});

describe('VLAN', () => {
  test.each<Situation>([
    {
      so: 'the switch learned its MAC in the planned VLAN',
      endpoint: inA(),
      seen: { switches: [aSwitch(SW1, {}, { extraForwarding: [entry(21)] })] },
      facts: ['vlan matches'],
      findings: [],
    },
    {
      so: 'learned in several VLANs, the planned one among them',
      endpoint: inA(),
      seen: { switches: [aSwitch(SW1, {}, { extraForwarding: [entry(99), entry(21)] })] },
      facts: ['vlan matches'],
      findings: [],
    },
    {
      so: 'learned in another VLAN: the cable is right, the port is not',
      endpoint: inA(),
      seen: { switches: [aSwitch(SW1, {}, { extraForwarding: [entry(99)] })] },
      facts: ['switch-port matches', 'vlan differs other-vlan'],
      findings: ['vlan-differs'],
      says: /is in VLAN 99; the plan has its network data-a in VLAN 21/,
    },
    {
      so: 'the table has no VLANs; the port puts untagged frames into the planned one',
      endpoint: inA(),
      seen: { switches: [learned(SW1, 7, { ports: [aPort(7, { pvid: 21 })] })] },
      facts: ['vlan matches'],
      findings: [],
    },
    {
      so: 'the port puts untagged frames into another VLAN: the device may tag them, nobody is accused',
      endpoint: inA(),
      seen: { switches: [learned(SW1, 7, { ports: [aPort(7, { pvid: 1 })] })] },
      facts: ['vlan unproven may-be-tagged'],
      findings: [],
    },
    {
      so: 'it answers on the laptop’s own port, which is in the planned VLAN',
      endpoint: inA(),
      seen: ownLink(21),
      facts: ['vlan matches'],
      findings: [],
    },
    {
      so: 'it answers on the laptop’s own port, which is in another VLAN',
      endpoint: inA(),
      seen: ownLink(10),
      facts: ['vlan differs other-vlan'],
      findings: ['vlan-differs'],
    },
    {
      so: 'its MAC is learned and nobody tells a VLAN',
      endpoint: inA(),
      seen: { switches: [learned(SW1, 7)] },
      facts: ['vlan unproven vlan-not-told'],
      findings: [],
    },
    {
      so: 'no VLAN is planned: nothing is said',
      endpoint: at(SW1, '1/7'),
      seen: { switches: [aSwitch(SW1, {}, { extraForwarding: [entry(99)] })] },
      facts: ['switch-port matches'],
      findings: [],
    },
  ])('$so', check);

  test('all of a network in one other VLAN are one finding, about the network', () => {
    const second = at(
      SW1,
      '1/8',
      { network: 'data-a', address: '198.51.100.12', mac: mac(0x12) },
      'vault-1/B/data0',
    );
    const plan = aPlan({ endpoints: [inA(), second], networks: NETWORKS });
    const tables = aSwitch(SW1, {}, { extraForwarding: [entry(99), { ...entry(99, 8), mac: mac(0x12) }] });
    const { perEndpoint } = judgeCabling(plan, [anEvidence({ switches: [tables] })]);
    const facts = [...perEndpoint.values()].flatMap((one) => one.facts).filter(({ fact }) => fact === 'vlan');
    expect(facts.map(({ state }) => state)).toEqual(['differs', 'differs']);
    expect(facts.flatMap(({ findings }) => findings).map(({ subject, about }) => [subject, about])).toEqual([
      ['data-a', ['vault-1/A/data0', 'vault-1/B/data0']],
    ]);
  });

  test('all of a network in the same several other VLANs: each is named', () => {
    const second = at(
      SW1,
      '1/8',
      { network: 'data-a', address: '198.51.100.12', mac: mac(0x12) },
      'vault-1/B/data0',
    );
    const plan = aPlan({ endpoints: [inA(), second], networks: NETWORKS });
    const extraForwarding = [98, 99].flatMap((vlan) => [entry(vlan), { ...entry(vlan, 8), mac: mac(0x12) }]);
    const { perEndpoint } = judgeCabling(plan, [
      anEvidence({ switches: [aSwitch(SW1, {}, { extraForwarding })] }),
    ]);
    const findings = [...perEndpoint.values()].flatMap((one) => one.facts).flatMap((one) => one.findings);
    expect(findings.map(({ message }) => message)).toEqual([
      expect.stringContaining('VLAN 98 and 99, planned VLAN 21'),
    ]);
  });
});

describe('MTU', () => {
  const jumbo = port({ network: 'data-a', address: IP } as object);
  const look = (mtu: Evidence['sightings'][number]['mtu'], more = {}): Parts => ({
    sightings: [aSighting(IP, { by: M, interface: 'eth0', mtu, ...more })],
  });
  const smaller = (mtu: number, told: 'local' | 'router' | 'silent') =>
    ({ outcome: 'smaller', mtu, asked: 9000, told }) as const;
  test.each<Situation>([
    {
      so: '9,000 octets pass',
      endpoint: jumbo,
      seen: look({ outcome: 'passes', mtu: 9000 }),
      facts: ['mtu matches'],
      findings: [],
    },
    {
      so: 'a switch drops what is larger than 1,500',
      endpoint: jumbo,
      seen: look(smaller(1500, 'silent')),
      facts: ['mtu differs smaller-on-the-way'],
      findings: ['mtu-below-plan'],
    },
    {
      so: 'a device that answers echo up to 1,028 octets only limits echo: nothing is said of its MTU',
      endpoint: jumbo,
      seen: look(smaller(1028, 'silent')),
      facts: ['mtu unproven echo-limited'],
      findings: [],
      says: /less than the 1500 that every Ethernet carries/,
      fix: /test the MTU from a host/,
    },
    {
      so: 'it limits echo, and its own port is set to 1,500: that is told',
      endpoint: port({ network: 'data-a', address: IP, interface: 'eth2' } as object),
      seen: { ...look(smaller(1028, 'silent')), links: [someLinks('vault-1', [aLink(2, { mtu: 1500 })])] },
      facts: ['mtu differs port-set-smaller'],
      findings: ['mtu-below-plan'],
    },
    {
      so: 'the laptop’s own port carries 1,500 only',
      endpoint: jumbo,
      seen: look(smaller(1500, 'local')),
      facts: ['mtu unproven laptop-limits'],
      findings: [],
      fix: /set the MTU of eth0 to 9000 on bench/,
    },
    {
      so: 'its port is set to 9,000, and nobody sent a packet of that size: the switches on the way are not proven',
      endpoint: port({ network: 'data-a', address: IP, interface: 'eth2' } as object),
      seen: {
        ...look(notRun('ping cannot forbid fragments', 'install iputils')),
        links: [someLinks('vault-1', [aLink(2, { mtu: 9000 })])],
      },
      facts: ['mtu unproven not-measured'],
      findings: [],
      says: /its port is set to 9000, which says nothing of the way to it/,
      fix: /install iputils/,
    },
    { so: 'nobody looked', endpoint: jumbo, facts: ['mtu unproven nobody-looked'], findings: [] },
  ])('$so', check);
});

describe('portals', () => {
  const B = '198.51.100.139';
  const iscsi = (id: string, address: string) =>
    anEndpoint(id, { role: 'data', address, services: 'iscsi-target' });
  const here = iscsi('vault-1/B/data0', B);
  const beside = [iscsi('vault-1/A/data0', IP)];
  const lists = (...addresses: readonly string[]) => ({
    outcome: 'listed' as const,
    targets: [
      {
        name: 'iqn.2030-01.example.loft:vault-1',
        portals: addresses.map((address) => ({ address, port: 3260, tag: 1 })),
      },
    ],
  });
  const both = (
    a: Evidence['sightings'][number]['iscsi'],
    b?: Evidence['sightings'][number]['iscsi'],
  ): Parts => ({
    sightings: [
      aSighting(IP, { answers: 'iscsi-target', iscsi: a }),
      aSighting(B, { answers: 'iscsi-target', ...(b === undefined ? {} : { iscsi: b }) }),
    ],
  });
  test.each<Situation>([
    {
      so: 'listed by the other portal',
      endpoint: here,
      beside,
      seen: both(lists(IP, B)),
      facts: ['portals matches in-portal-group'],
      findings: [],
    },
    {
      so: 'takes connections and stands in no list of a device that lists others',
      endpoint: here,
      beside: [...beside, iscsi('vault-1/A/data1', '198.51.100.12')],
      seen: both(lists(IP, '198.51.100.12')),
      facts: ['portals differs not-listed'],
      findings: ['portal-missing'],
    },
    {
      so: 'each portal lists itself alone: nothing can be compared for one that gave no list',
      endpoint: here,
      beside,
      seen: both(lists(IP)),
      facts: ['portals unproven not-comparable'],
      findings: [],
      says: /not comparable/,
    },
    {
      so: 'a portal that asks for authentication is there',
      endpoint: here,
      beside,
      seen: both(lists(IP), { outcome: 'authentication-required', status: '0201' }),
      facts: ['portals matches asks-for-authentication'],
      findings: [],
    },
    {
      so: 'the list has names instead of addresses',
      endpoint: here,
      beside,
      seen: both(lists(IP, 'vault.loft.example', '198.51.100.11')),
      facts: ['portals unproven not-comparable'],
      findings: [],
    },
    {
      so: 'its list was not asked for, with the reason',
      endpoint: here,
      beside,
      seen: { sightings: [aSighting(B, { by: false, iscsi: notRun('nobody claims the address') })] },
      facts: ['portals unproven not-asked'],
      findings: [],
      says: /nobody claims the address/,
    },
    {
      so: 'three portals that nobody planned: one finding',
      endpoint: iscsi('vault-1/A/data0', IP),
      beside: [here],
      seen: both(lists(IP, B, '198.51.100.200', '203.0.113.9', '192.0.2.9')),
      facts: ['portals differs lists-unplanned'],
      findings: ['portal-unplanned'],
      says: /lists 3 portals that the plan does not have/,
    },
    {
      so: 'a link-local portal beside the planned ones: a note',
      endpoint: here,
      beside,
      seen: both(lists(IP, B, '169.254.7.7', 'fe80::1')),
      facts: ['portals matches in-portal-group'],
      findings: ['portal-link-local (note)'],
    },
  ])('$so', check);
});

const fabric = (
  sw: string,
  logins: readonly (readonly [string, number])[],
  more: Partial<FabricTables> = {},
): FabricTables => ({
  switch: sw,
  askedAt: '192.0.2.3',
  ports: Array.from({ length: 8 }, (_, n) => ({
    ifIndex: n + 1,
    port: `fc${n}`,
    operStatus: 'up',
    speedMbps: 16_000,
  })),
  logins: logins.map(([portName, ifIndex]) => ({ portName, ifIndex, port: `fc${ifIndex - 1}` })),
  ...more,
});
const fc = (more: Partial<Endpoint> = {}, id = 'vault-1/A/fc0'): Endpoint =>
  anEndpoint(id, {
    role: 'data',
    media: 'fc',
    network: 'fabric-a',
    wwpn: WWPN,
    switch: FC1,
    switchPort: 'fc3',
    ...(more as object),
  });
const onB = fc({ network: 'fabric-b', wwpn: OTHER, switch: FC2, switchPort: 'fc3' }, 'vault-1/B/fc0');

describe('Fibre Channel', () => {
  test.each<Situation>([
    {
      so: 'logged in where it is planned',
      endpoint: fc({ speedMbps: 16_000 }),
      seen: { fabrics: [fabric(FC1, [[WWPN, 4]])] },
      facts: ['link matches', 'light matches', 'speed matches', 'switch-port matches'],
      findings: [],
    },
    {
      so: 'logged in at another port of the same switch',
      endpoint: fc(),
      seen: { fabrics: [fabric(FC1, [[WWPN, 6]])] },
      facts: ['light matches', 'switch-port differs in-another-port'],
      findings: ['wrong-switch-port'],
      says: /is on fabric-switch-1 port fc5, planned fabric-switch-1 port fc3/,
    },
    {
      so: 'logged in at a switch of the other fabric',
      endpoint: fc(),
      beside: [onB],
      seen: { fabrics: [fabric(FC1, []), fabric(FC2, [[WWPN, 4]])] },
      facts: ['light matches', 'switch-port differs in-another-fabric'],
      findings: ['wrong-fabric'],
      says: /is logged in at fabric-switch-2 port fc3 of fabric-b, planned fabric-switch-1 port fc3 in fabric-a/,
    },
    {
      so: 'logged in at another switch of its own fabric',
      endpoint: fc(),
      beside: [fc({ wwpn: OTHER, switch: FC2, switchPort: 'fc1' }, 'vault-1/B/fc0')],
      seen: { fabrics: [fabric(FC1, []), fabric(FC2, [[WWPN, 4]])] },
      facts: ['light matches', 'switch-port differs on-another-switch'],
      findings: ['wrong-switch-port'],
    },
    {
      so: 'logged in nowhere, and its whole fabric was read: not there',
      endpoint: fc(),
      seen: { fabrics: [fabric(FC1, [[OTHER, 4]])] },
      facts: ['light missing not-logged-in', 'switch-port unproven something-else-there'],
      findings: ['login-missing'],
      says: /fabric-switch-1 port fc3 has port name 50:00:00:00:5e:00:53:20 in it/,
    },
    {
      so: 'logged in nowhere, its port has link and nobody is logged in there',
      endpoint: fc({ speedMbps: 16_000 }),
      seen: { fabrics: [fabric(FC1, [[OTHER, 6]])] },
      facts: [
        'link matches',
        'light missing not-logged-in',
        'speed matches',
        'switch-port unproven not-logged-in',
      ],
      findings: ['login-missing'],
    },
    {
      so: 'the other port is in its place: the speed and the link of that one are not its own',
      endpoint: fc({ speedMbps: 16_000 }),
      beside: [fc({ wwpn: OTHER, switchPort: 'fc1' }, 'vault-1/B/fc0')],
      seen: { fabrics: [fabric(FC1, [[OTHER, 4]])] },
      facts: [
        'light missing not-logged-in',
        'speed unproven no-credential',
        'switch-port unproven something-else-there',
      ],
      findings: ['login-missing'],
      says: /has vault-1\/B\/fc0 in it/,
    },
    {
      so: 'logged in nowhere, and its port has no light: one finding',
      endpoint: fc(),
      seen: { fabrics: [fabric(FC1, [], { ports: [{ ifIndex: 4, port: 'fc3', operStatus: 'down' }] })] },
      facts: ['link differs link-down', 'light missing link-down', 'switch-port unproven not-logged-in'],
      findings: ['link-down'],
    },
    {
      so: 'logged in at no switch that was read, and one of its fabric was not',
      endpoint: fc(),
      beside: [fc({ wwpn: OTHER, switch: FC2, switchPort: 'fc1' }, 'vault-1/B/fc0')],
      seen: { fabrics: [fabric(FC1, [])] },
      facts: ['light unproven fabric-not-read', 'switch-port unproven not-logged-in'],
      findings: [],
      fix: /let fabric-switch-2 be read by SNMP/,
    },
    {
      so: 'the list of logins was cut short: nobody is called absent',
      endpoint: fc(),
      seen: { fabrics: [fabric(FC1, [], { truncated: 'cut off', cutBecause: 'too-much' })] },
      facts: ['light unproven fabric-not-read'],
      findings: [],
    },
    {
      so: 'one port name at two ports',
      endpoint: fc(),
      seen: { fabrics: [fabric(FC1, [[WWPN, 4]]), fabric(FC2, [[WWPN, 4]])] },
      facts: ['light differs name-at-two-ports', 'switch-port matches'],
      findings: ['port-name-twice'],
    },
    {
      so: 'many names at one port (virtual ports) are usual',
      endpoint: fc(),
      seen: {
        fabrics: [
          fabric(FC1, [
            [OTHER, 4],
            [WWPN, 4],
          ]),
        ],
      },
      facts: ['light matches', 'switch-port matches'],
      findings: [],
    },
    {
      so: 'the switch names its ports by numbers alone: logged in, and the at cannot be compared',
      endpoint: fc(),
      seen: {
        fabrics: [
          fabric(FC1, [], {
            ports: [{ port: 'FxPort 4', operStatus: 'up' }],
            logins: [{ portName: WWPN, port: 'FxPort 4' }],
          }),
        ],
      },
      facts: ['light matches', 'switch-port unproven port-unknown'],
      findings: [],
    },
    {
      so: 'no port name in the plan: light is proven, the at is not',
      endpoint: fc({ wwpn: undefined }),
      seen: { fabrics: [fabric(FC1, [[OTHER, 4]])] },
      facts: ['light matches', 'switch-port unproven no-port-name'],
      findings: [],
    },
    {
      so: 'nothing was read: eyes have to prove the light',
      endpoint: fc(),
      facts: ['light unproven no-credential', 'switch-port unproven no-agent'],
      findings: [],
      fix: /write the SNMP credential of vault-1 into the plan/,
    },
  ])('$so', check);

  // Line rates and data rates of FC-PI, from memory: what agents give as speed of a port of that generation.
  test.each([
    [16_000, 14_025, 'matches'],
    [16_000, 13_600, 'matches'],
    [32_000, 28_050, 'matches'],
    [64_000, 57_800, 'matches'],
    [8000, 8500, 'matches'],
    [32_000, 14_025, 'differs'],
    [16_000, 8500, 'differs'],
  ])('planned %i Mbit/s, told %i: %s', (speedMbps, told, state) => {
    const ports = [{ ifIndex: 4, port: 'fc3', operStatus: 'up' as const, speedMbps: told }];
    const situation = {
      so: '',
      endpoint: fc({ speedMbps }),
      seen: { fabrics: [fabric(FC1, [[WWPN, 4]], { ports })] },
    };
    const { facts } = judged({ ...situation, facts: [], findings: [] });
    expect(facts.find(({ fact }) => fact === 'speed')?.state).toBe(state);
  });

  test('where it was logged in, and in which fabric, is told to the paths', () => {
    const { own } = judged({
      so: '',
      endpoint: fc(),
      beside: [onB],
      seen: { fabrics: [fabric(FC2, [[WWPN, 4]])] },
      facts: [],
      findings: [],
    });
    expect(own).toMatchObject({ measuredSwitch: FC2, measuredFabric: 'fabric-b' });
  });

  test('a name that two runs saw at two ports was moved: the later run counts', () => {
    const plan = aPlan({ endpoints: [fc()] });
    const run = (finishedAt: string, sw: string) =>
      anEvidence({ finishedAt, fabrics: [fabric(sw, [[WWPN, 4]])] });
    const early = run('2030-01-01T00:00:00.000Z', FC2);
    const late = run('2030-01-02T00:00:00.000Z', FC1);
    for (const runs of [
      [early, late],
      [late, early],
    ]) {
      const light = judgeCabling(plan, runs)
        .perEndpoint.get('vault-1/A/fc0')
        ?.facts.find(({ fact }) => fact === 'light');
      expect(light).toMatchObject({ state: 'matches', evidence: [expect.stringContaining(FC1)] });
    }
  });
});

describe('power', () => {
  const psu = (name: string) => anEndpoint(`vault-1/${name}`, { role: 'power' });
  const told = (
    ...supplies: readonly (readonly [string, 'working' | 'not-working' | 'unknown'])[]
  ): Parts => ({
    power: [
      {
        device: 'vault-1',
        askedAt: '192.0.2.11',
        supplies: supplies.map(([name, state]) => ({ name, state })),
      },
    ],
  });
  test.each<Situation>([
    {
      so: 'two feeds, two supplies work',
      endpoint: psu('psu-1'),
      seen: told(['PSU 1', 'working'], ['PSU 2', 'working']),
      facts: ['light matches'],
      findings: [],
    },
    {
      so: 'one of two supplies does not work: its cell, and one job of the device',
      endpoint: psu('psu-2'),
      seen: told(['PSU 1', 'working'], ['PSU 2', 'not-working']),
      facts: ['light differs supply-down'],
      findings: ['power-supply-down'],
      says: /vault-1 runs on 1 of 2 planned power supplies: PSU 2 does not work/,
    },
    {
      so: 'the other supply of that device works',
      endpoint: psu('psu-1'),
      seen: told(['PSU 1', 'working'], ['PSU 2', 'not-working']),
      facts: ['light matches'],
      findings: ['power-supply-down'],
    },
    {
      so: 'two feeds planned, one supply there',
      endpoint: psu('psu-1'),
      seen: told(['PSU 1', 'working']),
      facts: ['light matches'],
      findings: ['power-supply-missing'],
    },
    {
      so: 'a third supply without a cord, two feeds planned: as planned',
      endpoint: psu('psu-1'),
      seen: told(['PSU 1', 'working'], ['PSU 2', 'working'], ['PSU 3', 'not-working']),
      facts: ['light matches'],
      findings: [],
    },
    {
      so: 'the agent does not know the state of its supplies: eyes have to',
      endpoint: psu('left'),
      seen: told(['PSU 1', 'unknown'], ['PSU 2', 'unknown']),
      facts: ['light unproven supply-unknown'],
      findings: [],
    },
    {
      so: 'the network port of a power unit is no power inlet',
      endpoint: anEndpoint('power-1/mgmt', { role: 'power', address: '203.0.113.50', network: 'plain' }),
      none: ['light', 'vlan'],
      facts: [],
      findings: [],
    },
    {
      so: 'no agent tells a supply: eyes have to',
      endpoint: psu('left'),
      facts: ['light unproven no-credential'],
      findings: [],
    },
  ])('$so', check);
});
