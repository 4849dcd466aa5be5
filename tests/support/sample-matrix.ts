/** One result with every verdict, severity and section of the page. Invented scenario; documentation addresses only. */
import type { Finding } from '../../src/findings/index.js';
import type { EndpointSighting, GroupResult, Matrix, PathResult } from '../../src/matrix/matrix.js';
import type { Plan } from '../../src/plan/model.js';
import {
  aDevice,
  aGroup,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aProof,
  aSighting,
  aTcp,
  aVantage,
  claimed,
  mac,
  notRun,
  T0,
  T1,
} from './evidence.js';
import { aFact, serviceFacts } from './facts.js';
import { aFinding, aMatrix, type Found, LINK, seen } from './matrix.js';

export function samplePlan(): Plan {
  const data = (id: string, network: string, address: string, tower: string) =>
    anEndpoint(id, {
      role: 'data',
      network,
      address,
      services: 'iscsi-target',
      media: 'fibre',
      group: 'vault-1 data',
      switch: tower,
      switchPort: '1/0/3',
      speedMbps: 10_000,
      mtu: 9000,
    });
  return aPlan({
    site: { name: 'Harbour Library', reference: 'HL-2291' },
    networks: [
      aNetwork('mgmt', '192.0.2.0/24', { gateway: '192.0.2.1', routed: true }),
      aNetwork('data-a', '198.51.100.0/25', { mtu: 9000 }),
      aNetwork('data-b', '203.0.113.0/25', { mtu: 9000 }),
      aNetwork('fabric-1'),
    ],
    devices: [
      aDevice('vault-1', {
        rack: 'R3',
        units: { from: 11, to: 13 },
        feeds: ['A', 'B'],
        defaultAddresses: ['192.0.2.200'],
        identity: { sysName: 'vault-1*' },
      }),
      aDevice('loft-switch', { rack: 'R3', units: { from: 20, to: 20 }, feeds: ['A'] }),
      aDevice('cellar-switch', { rack: 'R3', units: { from: 21, to: 21 }, feeds: ['B'] }),
      aDevice('press-1', { rack: 'R4', units: { from: 2, to: 3 }, feeds: ['A', 'B'] }),
      aDevice('press-2', { rack: 'R4', units: { from: 3, to: 4 }, feeds: ['A', 'B'] }),
    ],
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https ssh snmp', mac: mac(0x11) }),
      anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https ssh snmp', mac: mac(0x12) }),
      data('vault-1/A/data0', 'data-a', '198.51.100.11', 'loft-switch'),
      data('vault-1/A/data1', 'data-b', '203.0.113.11', 'cellar-switch'),
      data('vault-1/B/data0', 'data-a', '198.51.100.12', 'loft-switch'),
      data('vault-1/B/data1', 'data-b', '203.0.113.12', 'cellar-switch'),
      anEndpoint('vault-1/A/fc0', { role: 'data', network: 'fabric-1', media: 'fc', group: 'vault-1 light' }),
      anEndpoint('loft-switch/mgmt', { role: 'switch', address: '192.0.2.21', services: 'ssh snmp' }),
      anEndpoint('cellar-switch/mgmt', { role: 'switch', address: '192.0.2.22', services: 'ssh snmp' }),
      anEndpoint('press-1/hba0', {
        role: 'host',
        network: 'data-a',
        address: '198.51.100.31',
        switch: 'loft-switch',
      }),
      anEndpoint('press-1/hba1', {
        role: 'host',
        network: 'data-b',
        address: '203.0.113.31',
        switch: 'cellar-switch',
      }),
      anEndpoint('press-2/hba0', {
        role: 'host',
        network: 'data-a',
        address: '198.51.100.32',
        switch: 'loft-switch',
      }),
    ],
    groups: [
      aGroup('vault-1 data', ['vault-1/A/data0', 'vault-1/A/data1', 'vault-1/B/data0', 'vault-1/B/data1'], {
        independent: ['controller', 'switch', 'network'],
      }),
      aGroup('press-1 to vault-1', [], { from: 'press-1', to: 'vault-1 data', need: 2 }),
    ],
    observe: [
      { subject: 'vault-1', item: 'power lamp', expect: 'steady green' },
      { subject: 'vault-1', item: 'port label of A/data0', expect: 'DATA 0' },
      { subject: 'press-1', item: 'rail screws', expect: 'four a side' },
    ],
  });
}

function path(
  id: string,
  tower: string,
  state: PathResult['state'],
  more: Partial<PathResult> = {},
): PathResult {
  const [device = '', controller = ''] = (id.split(' -> ').at(-1) ?? id).split('/');
  return {
    id,
    endpoints: id.split(' -> '),
    things: [
      { kind: 'controller', name: `${device}/${controller}`, source: 'planned' },
      { kind: 'switch', name: tower, source: 'measured' },
      { kind: 'network', name: tower === 'loft-switch' ? 'data-a' : 'data-b', source: 'planned' },
    ],
    state,
    ...more,
  };
}

function sampleGroups(): GroupResult[] {
  const redundantPlan = { verdict: 'redundant', singlePoints: [], pairs: [] } as const;
  return [
    {
      name: 'vault-1 data',
      need: 1,
      basis: 'measured',
      inferred: false,
      planned: ['vault-1/A/data0', 'vault-1/A/data1', 'vault-1/B/data0', 'vault-1/B/data1'],
      live: ['vault-1/A/data0', 'vault-1/B/data0'],
      verdict: 'at-risk',
      reasons: ['Both live paths run through loft-switch.'],
      singlePoints: [
        { kind: 'switch', name: 'loft-switch' },
        { kind: 'network', name: 'data-a' },
      ],
      pairs: [
        [
          { kind: 'controller', name: 'vault-1/A' },
          { kind: 'controller', name: 'vault-1/B' },
        ],
      ],
      paths: [
        path('vault-1/A/data0', 'loft-switch', 'live'),
        path('vault-1/A/data1', 'cellar-switch', 'dead', { why: 'nobody claims 203.0.113.11' }),
        path('vault-1/B/data0', 'loft-switch', 'live'),
        path('vault-1/B/data1', 'cellar-switch', 'unproven', { why: 'no route to data-b from here' }),
      ],
      asPlanned: redundantPlan,
      availability: { planned: 0.999_99, found: 0.9991 },
    },
    {
      name: 'press-1 to vault-1',
      need: 2,
      basis: 'measured',
      inferred: false,
      planned: ['press-1/hba0 -> vault-1/A/data0', 'press-1/hba1 -> vault-1/A/data1'],
      live: ['press-1/hba0 -> vault-1/A/data0'],
      verdict: 'lost',
      reasons: ['One path works; two are needed.'],
      singlePoints: [],
      pairs: [],
      paths: [
        path('press-1/hba0 -> vault-1/A/data0', 'loft-switch', 'live'),
        path('press-1/hba1 -> vault-1/A/data1', 'cellar-switch', 'dead', {
          why: 'the array port is missing',
        }),
      ],
      asPlanned: { verdict: 'at-risk', singlePoints: [{ kind: 'controller', name: 'vault-1/A' }], pairs: [] },
    },
    {
      name: 'vault-1 light',
      need: 1,
      basis: 'measured',
      inferred: true,
      planned: ['vault-1/A/fc0'],
      live: [],
      verdict: 'unproven',
      reasons: ['Fibre Channel light shows on no network.'],
      singlePoints: [],
      pairs: [],
      paths: [{ id: 'vault-1/A/fc0', endpoints: ['vault-1/A/fc0'], things: [], state: 'unproven' }],
      asPlanned: redundantPlan,
    },
  ];
}

function sampleFindings(): Finding[] {
  return [
    aFinding(
      'duplicate-address',
      'stop',
      'vault-1/B/mgmt',
      '192.0.2.12 is claimed by two devices: 00:00:5e:00:53:12 and 00:00:5e:00:53:77.',
      {
        evidence: ['ARP answers of both in one capture, 0.3 ms apart'],
        advice: 'Unplug one of the two and run the check again before anything is configured.',
      },
    ),
    aFinding('endpoint-missing', 'fix', 'vault-1/A/data1', 'Nobody claims 203.0.113.11 on the link.', {
      evidence: ['asked three times by ARP from bench', 'cellar-switch 1/0/3 has no link'],
      advice: 'Check the cable between vault-1 A data1 and cellar-switch port 1/0/3.',
    }),
    aFinding('service-refused', 'fix', 'vault-1/A/mgmt', 'https is refused at 192.0.2.11.', {
      advice: 'Switch the service on, or take it out of the plan.',
    }),
    aFinding('speed-below-plan', 'fix', 'vault-1/B/data0', 'vault-1/B/data0 runs at 1G, planned 10G.', {
      evidence: ['ifHighSpeed 1000 at vault-1'],
      advice: 'Check the module and the cable at both ends.',
    }),
    aFinding(
      'single-point',
      'fix',
      'vault-1 data',
      'Losing switch loft-switch ends every path of vault-1 data.',
      {
        about: ['vault-1/A/data0', 'vault-1/B/data0'],
        advice: 'Bring the paths through cellar-switch up.',
      },
    ),
    aFinding('stranger', 'note', '192.0.2.77', '192.0.2.77 answers and stands in no plan.', {
      advice: 'Ask the site what it is.',
    }),
    aFinding('observation-open', 'note', 'press-1', 'rail screws: nobody has looked.', {
      advice: 'Look, then record it with matchmark attest.',
    }),
  ];
}

const LISTED = {
  outcome: 'listed',
  targets: [
    { name: 'iqn.2030-01.example:vault-1', portals: [{ address: '198.51.100.11', port: 3260, tag: 1 }] },
  ],
} as const;

function sampleFound(id: string, vantages: readonly string[]): Found {
  const all = (make: (vantage: string) => EndpointSighting): EndpointSighting[] => vantages.map(make);
  const by = (last: number) => ({ by: mac(last) });
  switch (id) {
    case 'vault-1/A/mgmt':
      return {
        verdict: 'differs',
        facts: [
          aFact('address', 'matches'),
          aFact('echo', 'matches'),
          ...serviceFacts('https:refused ssh snmp'),
          aFact('box', 'matches', { planned: 'sysName vault-1*', measured: 'vault-1-a' }),
        ],
        differences: [
          {
            field: 'service https',
            planned: 'answers',
            measured: 'refused',
            evidence: 'TCP connect to port 443',
          },
        ],
        sightings: all((vantage) =>
          seen(
            vantage,
            aSighting('192.0.2.11', {
              ...by(0x11),
              tcp: [aTcp('https', 'refused'), aTcp('ssh')],
              proofs: [aProof('ssh', 'proven', 'SSH-2.0-vault'), aProof('snmp', 'proven')],
              snmp: { outcome: 'replied', version: '2c', credential: 'site-ro' },
              identity: {
                snmp: { sysName: 'vault-1-a', sysDescr: 'storage controller', serials: ['V1-0001'] },
                ssh: { line: 'SSH-2.0-vault', port: 22 },
              },
            }),
          ),
        ),
      };
    case 'vault-1/B/mgmt':
      return {
        verdict: 'differs',
        reasons: ['two devices claim the address'],
        facts: [
          aFact('address', 'differs', {
            planned: 'one device',
            measured: 'two devices',
            reason: 'two claim it',
          }),
          aFact('echo', 'matches'),
          ...serviceFacts('https ssh snmp'),
          aFact('box', 'unproven', { planned: 'sysName vault-1*', reason: 'two devices answer here' }),
        ],
        sightings: all((vantage) =>
          seen(vantage, aSighting('192.0.2.12', { by: [mac(0x12), mac(0x77)], answers: 'https ssh snmp' })),
        ),
      };
    case 'vault-1/A/data1':
      return {
        verdict: 'missing',
        reasons: ['nobody claims the address'],
        facts: [
          aFact('address', 'missing', { reason: 'nobody claims the address' }),
          aFact('service', 'missing', { service: 'iscsi-target', planned: 'iscsi-target' }),
          ...['speed', 'mtu'].map((fact) =>
            aFact(fact as 'speed', 'unproven', { planned: '10G', reason: 'the endpoint is missing' }),
          ),
        ],
        sightings: all((vantage) => seen(vantage, aSighting('203.0.113.11', { by: false }))),
      };
    case 'vault-1/B/data1':
    case 'press-1/hba1':
      return {
        verdict: 'unproven',
        reasons: [
          'no address of this laptop is on data-b; to add one: ip address add 203.0.113.99/25 dev eth0',
        ],
        facts: [
          aFact('address', 'unproven', {
            reason: 'no address of this laptop is on data-b',
            mend: 'add an address of data-b to the laptop',
          }),
        ],
        sightings: all((vantage) =>
          seen(
            vantage,
            aSighting('203.0.113.12', {
              reach: 'no-route',
              presence: notRun('not on this link'),
              icmp: notRun('no route'),
            }),
          ),
        ),
      };
    case 'vault-1/A/fc0':
      return {
        verdict: 'unproven',
        reasons: ['no address planned, and no switch showed its link'],
        facts: [aFact('light', 'unproven', { planned: 'light', reason: 'no switch showed its link' })],
      };
    case 'vault-1/B/data0':
    case 'vault-1/A/data0':
      return {
        verdict: id === 'vault-1/B/data0' ? 'differs' : 'matches',
        facts: [
          aFact('address', 'matches'),
          aFact('echo', 'matches'),
          ...serviceFacts('iscsi-target'),
          aFact('speed', id === 'vault-1/B/data0' ? 'differs' : 'matches', {
            planned: '10G',
            measured: id === 'vault-1/B/data0' ? '1G' : '10G',
          }),
          aFact('switch-port', 'matches', { planned: 'loft-switch 1/0/3', measured: 'loft-switch 1/0/3' }),
          aFact('mtu', 'matches', { planned: '9000', measured: '9000' }),
          aFact('portals', 'matches'),
        ],
        differences:
          id === 'vault-1/B/data0'
            ? [{ field: 'speed', planned: '10G', measured: '1G', evidence: 'ifHighSpeed' }]
            : [],
        sightings: all((vantage) =>
          seen(
            vantage,
            aSighting('198.51.100.11', {
              ...by(id === 'vault-1/B/data0' ? 0x22 : 0x21),
              answers: 'iscsi-target',
              mtu: { outcome: 'passes', mtu: 9000 },
              iscsi: LISTED,
            }),
            {
              link: id === 'vault-1/B/data0' ? { ...LINK, speedMbps: 1000 } : LINK,
              cabling: { switch: 'loft-switch', port: '1/0/3', mac: mac(0x21), by: 'forwarding table' },
            },
          ),
        ),
      };
    default:
      return {
        verdict: 'matches',
        reasons: id === 'press-2/hba0' ? ['no echo, but the services answer'] : [],
        sightings: all((vantage) =>
          seen(
            vantage,
            aSighting('192.0.2.21', {
              presence: claimed([mac(0x21)], {
                methods: ['neighbour-table'],
                duplicateCheck: 'not-excluded',
                duplicateCheckReason: 'only the neighbour table was at hand',
              }),
              answers: 'ssh snmp',
            }),
          ),
        ),
      };
  }
}

/** Every verdict, severity and section of the page. */
export function sampleMatrix(vantages: readonly string[] = ['bench'], more: Partial<Matrix> = {}): Matrix {
  const evidence = vantages.map((name, index) =>
    anEvidence({
      vantage: aVantage({
        name,
        abilities: {
          ping: { able: true, flavour: 'iputils' },
          capture:
            index === 0
              ? { able: true, program: 'tcpdump', version: '4.99' }
              : { able: false, reason: 'no capture program is installed', mend: 'apt-get install tcpdump' },
          arping: { able: false, reason: 'arping may not open a raw socket here' },
          neighbourTable: { able: true },
          privileged: index === 0,
        },
      }),
      notes: index === 0 ? ['loft-switch was asked at half pace: it answered slowly.'] : [],
      drills:
        index === 0
          ? [
              {
                group: 'vault-1 data',
                pulled: { kind: 'switch', name: 'cellar-switch' },
                outcome: 'survived',
                by: 'R. Vance',
                startedAt: T0,
                finishedAt: T1,
                resolutionMs: 200,
                gaps: [{ endpoint: 'vault-1/A/data0', gapMs: 640, returned: true }],
              },
            ]
          : [],
    }),
  );
  return aMatrix(samplePlan(), (id) => sampleFound(id, vantages), {
    evidence,
    findings: sampleFindings(),
    groups: sampleGroups(),
    defaults: [
      {
        address: '192.0.2.200',
        devices: ['vault-1'],
        macs: [],
        outcome: 'silent',
        reasons: ['asked three times'],
      },
      {
        address: '192.0.2.201',
        devices: ['press-1', 'press-2'],
        macs: [mac(0x31), mac(0x32)],
        outcome: 'clash',
        reasons: ['two devices claim it'],
      },
    ],
    strangers: [{ address: '192.0.2.77', mac: mac(0x77), network: 'mgmt' }],
    observations: [
      {
        subject: 'vault-1',
        item: 'power lamp',
        expect: 'steady green',
        saw: 'steady green',
        by: 'R. Vance',
        at: T1,
        verdict: 'matches',
      },
      {
        subject: 'vault-1',
        item: 'port label of A/data0',
        expect: 'DATA 0',
        saw: 'DATA 1',
        by: 'R. Vance',
        at: T1,
        verdict: 'differs',
      },
      { subject: 'press-1', item: 'rail screws', expect: 'four a side', verdict: 'open' },
    ],
    capacity: [{ network: 'mgmt', cidr: '192.0.2.0/24', usable: 254, planned: 4, reserved: 9, left: 241 }],
    ...more,
  });
}
