/**
 * Sites as they really are, one row a situation, in the words of a field engineer. Each names the rule of DESIGN 6 that decides it; link and
 * cable have theirs in tests/facts/cabling-situations.test.ts. Times and shares are common practice, no source.
 */

import { describe, expect, it } from 'vitest';
import type { EndpointVerdict, GroupVerdict } from '../../src/matrix/matrix.js';
import type { Survey } from '../../src/matrix/survey.js';
import type { Plan } from '../../src/plan/model.js';
import { buildMatrix } from '../../src/result/build.js';
import type { AddressSighting, Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aClaim,
  aDevice,
  aGroup,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aProof,
  aSighting,
  aTcp,
  claimed,
  mac,
  notRun,
  T0,
  T1,
} from '../support/evidence.js';

const A = 'vault-1/A/mgmt';
const B = 'vault-1/B/mgmt';
const AT_A = '192.0.2.11';
const AT_B = '192.0.2.12';
const GATEWAY = '192.0.2.1';

interface Situation {
  readonly what: string;
  readonly plan: Plan;
  readonly evidence: Evidence | readonly Evidence[];
  readonly survey?: Survey;
  /** Endpoint -> verdict. */
  readonly verdicts: Readonly<Record<string, EndpointVerdict>>;
  /** `code subject`, those above a note and those named here; sorted. */
  readonly codes: readonly string[];
  readonly notes?: readonly string[];
  readonly groups?: Readonly<Record<string, GroupVerdict>>;
}

function pair(
  more: Parameters<typeof anEndpoint>[1] = {},
  other: Parameters<typeof anEndpoint>[1] = {},
): Plan {
  return aPlan({
    endpoints: [
      anEndpoint(A, { address: AT_A, services: 'https', group: 'mgmt', ...more }),
      anEndpoint(B, { address: AT_B, services: 'https', group: 'mgmt', ...more, ...other }),
    ],
    groups: [aGroup('mgmt', [A, B], { independent: ['controller'] })],
  });
}

const seen = (...sightings: AddressSighting[]): Evidence => anEvidence({ sightings });
const certificate = (fingerprint256: string) => ({
  port: 443,
  subject: 'CN=portal.example',
  issuer: 'CN=portal.example',
  altNames: [],
  fingerprint256,
  validFrom: '2029-01-01T00:00:00Z',
  validTo: '2039-01-01T00:00:00Z',
  selfSigned: true,
});
const surveyOf = (address: string, macs: readonly string[]): Survey => ({
  format: 'matchmark.survey/1',
  takenAt: T0,
  vantage: 'bench',
  site: 'Test Hall',
  complete: true,
  entries: [
    {
      address,
      macs,
      kind: 'default',
      devices: ['vault-1'],
      identity: {},
      icmp: notRun(),
      tcp: [],
    },
  ],
  asked: { planned: 0, defaults: 1, networks: [] },
  silent: [],
  unproven: [],
  findings: [],
});

const ONE_FOR_TWO: readonly Situation[] = [
  {
    what: 'controller B is off and A has taken its address over: one MAC at both',
    plan: pair(),
    evidence: seen(
      aSighting(AT_A, { by: mac(1), answers: 'https' }),
      aSighting(AT_B, { by: mac(1), answers: 'https' }),
    ),
    verdicts: { [A]: 'matches', [B]: 'differs' },
    codes: [`answered-by-partner ${B}`, `path-missing ${B}`, 'single-point mgmt'],
    groups: { mgmt: 'at-risk' },
  },
  {
    what: 'the same with planned MACs: no crossed cables, since A itself is right',
    plan: pair({ mac: mac(1) }, { mac: mac(2) }),
    evidence: seen(
      aSighting(AT_A, { by: mac(1), answers: 'https' }),
      aSighting(AT_B, { by: mac(1), answers: 'https' }),
    ),
    verdicts: { [A]: 'matches', [B]: 'differs' },
    codes: [`answered-by-partner ${B}`, `path-missing ${B}`, 'single-point mgmt'],
    groups: { mgmt: 'at-risk' },
  },
  {
    what: 'behind a router one SNMP engine answers at both controllers',
    plan: pair(),
    evidence: seen(
      aSighting(AT_A, { reach: 'routed', answers: 'https', identity: { snmp: { engineId: '80007ed9' } } }),
      aSighting(AT_B, { reach: 'routed', answers: 'https', identity: { snmp: { engineId: '80007ed9' } } }),
    ),
    verdicts: { [A]: 'matches', [B]: 'differs' },
    codes: [`answered-by-partner ${B}`, `path-missing ${B}`, 'single-point mgmt'],
    groups: { mgmt: 'at-risk' },
  },
  {
    what: 'behind a router one Redfish UUID answers at both controllers',
    plan: pair(),
    evidence: seen(
      ...[AT_A, AT_B].map((address) =>
        aSighting(address, {
          reach: 'routed',
          answers: 'https',
          identity: { redfish: { uuid: '92384634-2938-2342-8820-489239905423' } },
        }),
      ),
    ),
    verdicts: { [A]: 'matches', [B]: 'differs' },
    codes: [`answered-by-partner ${B}`, `path-missing ${B}`, 'single-point mgmt'],
    groups: { mgmt: 'at-risk' },
  },
  {
    what: 'behind a router one certificate at both, and each engine is its own: two devices that share a certificate',
    plan: pair(),
    evidence: seen(
      aSighting(AT_A, {
        reach: 'routed',
        answers: 'https',
        identity: { certificate: certificate('aa'), snmp: { engineId: '01' } },
      }),
      aSighting(AT_B, {
        reach: 'routed',
        answers: 'https',
        identity: { certificate: certificate('aa'), snmp: { engineId: '02' } },
      }),
    ),
    verdicts: { [A]: 'matches', [B]: 'matches' },
    codes: [],
    groups: { mgmt: 'redundant' },
  },
  {
    what: 'a virtual address that sits on A is no partner that took over',
    plan: pair({}, { virtual: true }),
    evidence: seen(
      aSighting(AT_A, { by: mac(1), answers: 'https' }),
      aSighting(AT_B, { by: mac(1), answers: 'https' }),
    ),
    verdicts: { [A]: 'matches', [B]: 'matches' },
    codes: [],
  },
  {
    what: 'one controller with two ports in one network answers for either on either (Linux does by default)',
    plan: aPlan({
      endpoints: [
        anEndpoint('vault-1/A/data0', { address: AT_A, mac: mac(1), services: 'iscsi-target', role: 'data' }),
        anEndpoint('vault-1/A/data1', { address: AT_B, mac: mac(2), services: 'iscsi-target', role: 'data' }),
      ],
    }),
    evidence: seen(
      aSighting(AT_A, { by: [mac(1), mac(2)], answers: 'iscsi-target' }),
      aSighting(AT_B, { by: [mac(1), mac(2)], answers: 'iscsi-target' }),
    ),
    verdicts: { 'vault-1/A/data0': 'matches', 'vault-1/A/data1': 'matches' },
    codes: [],
    notes: ['answers-on-both-ports vault-1/A/data0', 'answers-on-both-ports vault-1/A/data1'],
  },
  {
    what: 'the same without any MAC in the plan: both MACs answer at both addresses of one controller',
    plan: aPlan({
      endpoints: [
        anEndpoint('vault-1/A/data0', { address: AT_A, services: 'iscsi-target', role: 'data' }),
        anEndpoint('vault-1/A/data1', { address: AT_B, services: 'iscsi-target', role: 'data' }),
      ],
    }),
    evidence: seen(
      aSighting(AT_A, { by: [mac(1), mac(2)], answers: 'iscsi-target' }),
      aSighting(AT_B, { by: [mac(1), mac(2)], answers: 'iscsi-target' }),
    ),
    verdicts: { 'vault-1/A/data0': 'matches', 'vault-1/A/data1': 'matches' },
    codes: [],
    notes: ['answers-on-both-ports vault-1/A/data0'],
  },
];

const WHO_ANSWERS: readonly Situation[] = [
  {
    what: 'a portal page answers for everything behind the router: nothing is proven, and it is no witness',
    plan: aPlan({
      endpoints: [
        anEndpoint(A, { address: AT_A, services: 'https' }),
        anEndpoint('vault-2/A/mgmt', { address: '192.0.2.21', services: 'https' }),
        anEndpoint('vault-3/A/mgmt', { address: '192.0.2.31', services: 'https' }),
      ],
    }),
    evidence: seen(
      ...[AT_A, '192.0.2.21'].map((address) =>
        aSighting(address, {
          reach: 'routed',
          echo: false,
          answers: 'https',
          identity: { certificate: certificate('cc') },
        }),
      ),
      aSighting('192.0.2.31', { reach: 'routed', echo: false, tcp: [aTcp('https', 'no-reply')] }),
    ),
    verdicts: { [A]: 'unproven', 'vault-2/A/mgmt': 'unproven', 'vault-3/A/mgmt': 'unproven' },
    codes: [],
  },
  {
    what: 'a firewall refuses for devices that are not there',
    plan: pair(),
    evidence: seen(
      ...[AT_A, AT_B].map((address) =>
        aSighting(address, { reach: 'routed', echo: false, tcp: [aTcp('https', 'refused')] }),
      ),
    ),
    verdicts: { [A]: 'unproven', [B]: 'unproven' },
    codes: [],
    groups: { mgmt: 'unproven' },
  },
  {
    what: 'on the same link a refusal proves that the host is there',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(aSighting(AT_A, { echo: false, tcp: [aTcp('https', 'refused')] })),
    verdicts: { [A]: 'differs' },
    codes: [`service-refused ${A}`],
  },
  {
    what: 'the gateway answers ARP for one array that is not there',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { gateway: GATEWAY })],
      endpoints: [
        anEndpoint(A, { address: AT_A, services: 'https' }),
        anEndpoint(B, { address: AT_B, services: 'https' }),
      ],
    }),
    evidence: seen(
      aSighting(GATEWAY, { by: mac(0x99) }),
      aSighting(AT_A, { by: mac(0x99), echo: false, tcp: [aTcp('https', 'no-reply')] }),
      aSighting(AT_B, { by: mac(0x99), echo: false, tcp: [aTcp('https', 'no-reply')] }),
    ),
    verdicts: { [A]: 'missing', [B]: 'missing' },
    codes: [
      `endpoint-missing ${A}`,
      `endpoint-missing ${B}`,
      'group-lost vault-1 management (inferred)',
      `path-missing ${A}`,
      `path-missing ${B}`,
    ],
  },
  {
    what: 'the right MAC, and a name in the device that is not the planned one: the right device',
    plan: aPlan({
      devices: [aDevice('vault-1', { controllers: { A: { sysName: 'vault-1-a' } } })],
      endpoints: [anEndpoint(A, { address: AT_A, services: 'https', mac: mac(1) })],
    }),
    evidence: seen(
      aSighting(AT_A, { by: mac(1), answers: 'https', identity: { snmp: { sysName: 'array' } } }),
    ),
    verdicts: { [A]: 'differs' },
    codes: [`identity-differs ${A}`],
  },
  {
    what: 'an address that went from one device to another during the run is no clash',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(
      aSighting(AT_A, {
        answers: 'https',
        presence: claimed([mac(1), mac(2)], {
          claims: [
            aClaim(mac(1), { seenFromMs: 1_000, seenToMs: 3_000, count: 3 }),
            aClaim(mac(2), { seenFromMs: 6_000, seenToMs: 9_000, count: 3 }),
          ],
        }),
      }),
    ),
    verdicts: { [A]: 'matches' },
    codes: [],
    notes: [`address-moved ${A}`],
  },
  {
    what: 'two that go on answering are a clash',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(
      aSighting(AT_A, {
        answers: 'https',
        presence: claimed([mac(1), mac(2)], {
          claims: [
            aClaim(mac(1), { seenFromMs: 1_000, seenToMs: 9_000, count: 3 }),
            aClaim(mac(2), { seenFromMs: 6_000, seenToMs: 9_000, count: 3 }),
          ],
        }),
      }),
    ),
    verdicts: { [A]: 'differs' },
    codes: [`duplicate-address ${A}`],
  },
  {
    what: 'two combined runs, one after the other, saw two MACs: told as moved',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: [
      anEvidence({
        startedAt: T0,
        finishedAt: T0,
        sightings: [aSighting(AT_A, { by: mac(1), answers: 'https' })],
      }),
      anEvidence({
        startedAt: T1,
        finishedAt: T1,
        sightings: [aSighting(AT_A, { by: mac(2), answers: 'https' })],
      }),
    ],
    verdicts: { [A]: 'matches' },
    codes: [],
    notes: [`address-moved ${A}`],
  },
  {
    what: 'a claim that comes in frames of the other claimant is one device',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(
      aSighting(AT_A, {
        answers: 'https',
        presence: claimed([mac(1), mac(2)], {
          claims: [aClaim(mac(1)), aClaim(mac(2), { frameSource: mac(1) })],
        }),
      }),
    ),
    verdicts: { [A]: 'matches' },
    codes: [],
  },
];

const PLACE: readonly Situation[] = [
  {
    what: 'the laptop is in the wrong network: nobody answers, the gateway neither; one finding, nothing is missing',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { gateway: GATEWAY })],
      endpoints: [
        anEndpoint(A, { address: AT_A, services: 'https' }),
        anEndpoint(B, { address: AT_B, services: 'https' }),
      ],
    }),
    evidence: seen(...[GATEWAY, AT_A, AT_B].map((address) => aSighting(address, { by: false }))),
    verdicts: { [A]: 'unproven', [B]: 'unproven' },
    codes: ['laptop-misplaced bench'],
  },
  {
    what: 'the switch says that the laptop is in VLAN 30, the plan has 10, and nobody answers',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { vlan: 10 })],
      endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })],
    }),
    evidence: anEvidence({
      sightings: [aSighting(AT_A, { by: false, interface: 'eth0' })],
      ownNeighbours: [
        {
          localPort: 'eth0',
          chassisId: mac(0x50),
          chassisIdSubtype: 'macAddress',
          portId: 'port7',
          portIdSubtype: 'interfaceName',
          managementAddresses: [],
          vlan: 30,
        },
      ],
    }),
    verdicts: { [A]: 'unproven' },
    codes: ['laptop-misplaced bench'],
  },
  {
    what: 'the switch says VLAN 10 as planned: silence counts',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { vlan: 10 })],
      endpoints: [
        anEndpoint(A, { address: AT_A, services: 'https' }),
        anEndpoint(B, { address: AT_B, services: 'https' }),
      ],
    }),
    evidence: anEvidence({
      sightings: [aSighting(AT_A, { by: false }), aSighting(AT_B, { by: false })],
      ownNeighbours: [
        {
          localPort: 'eth0',
          chassisId: mac(0x50),
          chassisIdSubtype: 'macAddress',
          portId: 'port7',
          portIdSubtype: 'interfaceName',
          managementAddresses: [],
          vlan: 10,
        },
      ],
    }),
    verdicts: { [A]: 'missing', [B]: 'missing' },
    codes: [
      `endpoint-missing ${A}`,
      `endpoint-missing ${B}`,
      'group-lost vault-1 management (inferred)',
      `path-missing ${A}`,
      `path-missing ${B}`,
    ],
  },
  {
    what: 'a laptop with /8 among /24s asks on its own link for what lies elsewhere',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24')],
      endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })],
    }),
    evidence: anEvidence({
      vantage: {
        interfaces: [{ name: 'eth0', mac: mac(0xfe), addresses: ['192.0.2.250/8'], up: true }],
      },
      sightings: [aSighting(AT_A, { by: false, interface: 'eth0' })],
    }),
    verdicts: { [A]: 'unproven' },
    codes: ['laptop-misplaced bench'],
  },
  {
    what: 'cable and radio in one network: the system asks by one of them only',
    plan: aPlan({
      endpoints: [
        anEndpoint(A, { address: AT_A, services: 'https' }),
        anEndpoint(B, { address: AT_B, services: 'https' }),
      ],
    }),
    evidence: anEvidence({
      vantage: {
        interfaces: [
          { name: 'eth0', mac: mac(0xfe), addresses: ['192.0.2.250/24'], up: true },
          { name: 'wlan0', mac: mac(0xfd), addresses: ['192.0.2.251/24'], up: true, wireless: true },
        ],
      },
      sightings: [
        aSighting(AT_A, { by: false, interface: 'wlan0' }),
        aSighting(AT_B, { by: mac(2), answers: 'https', interface: 'wlan0' }),
      ],
    }),
    verdicts: { [A]: 'unproven', [B]: 'matches' },
    codes: ['laptop-misplaced bench'],
  },
  {
    what: 'one of several is silent: it is missing, the laptop is where it should be',
    plan: pair(),
    evidence: seen(aSighting(AT_A, { by: mac(1), answers: 'https' }), aSighting(AT_B, { by: false })),
    verdicts: { [A]: 'matches', [B]: 'missing' },
    codes: [`endpoint-missing ${B}`, `path-missing ${B}`, 'single-point mgmt'],
    groups: { mgmt: 'at-risk' },
  },
  {
    what: 'another device has the address of the laptop: stop first',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: anEvidence({
      sightings: [aSighting(AT_A, { answers: 'https' })],
      ownClaimed: [{ address: '192.0.2.250', macs: [mac(0x66)] }],
    }),
    verdicts: { [A]: 'matches' },
    codes: ['own-address-taken 192.0.2.250'],
  },
  {
    what: 'the gateway of a routed network is silent, others answer',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { gateway: GATEWAY, routed: true })],
      endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })],
    }),
    evidence: seen(aSighting(GATEWAY, { by: false }), aSighting(AT_A, { answers: 'https' })),
    verdicts: { [A]: 'matches' },
    codes: ['gateway-silent mgmt'],
  },
  {
    what: 'a switch with three ports is dead: one job, the rest follows',
    plan: aPlan({
      endpoints: [
        ...[1, 2, 3].map((n) =>
          anEndpoint(`host-${n}/mgmt`, {
            address: `192.0.2.2${n}`,
            services: 'ssh',
            switch: 'sw-b',
            switchPort: `${n}`,
          }),
        ),
        anEndpoint(A, { address: AT_A, services: 'https', switch: 'sw-a', switchPort: '1' }),
      ],
    }),
    evidence: seen(
      ...[1, 2, 3].map((n) => aSighting(`192.0.2.2${n}`, { by: false })),
      aSighting(AT_A, { by: mac(1), answers: 'https' }),
    ),
    verdicts: {
      'host-1/mgmt': 'missing',
      'host-2/mgmt': 'missing',
      'host-3/mgmt': 'missing',
      [A]: 'matches',
    },
    codes: [
      'endpoint-missing host-1/mgmt',
      'endpoint-missing host-2/mgmt',
      'endpoint-missing host-3/mgmt',
      'switch-silent sw-b',
    ],
  },
];

const DEFAULT = '192.0.2.200';
const withDefault = (more: Parameters<typeof aDevice>[1] = {}, network = {}): Plan =>
  aPlan({
    networks: [aNetwork('mgmt', '192.0.2.0/24', network)],
    devices: [aDevice('vault-1', { defaultAddresses: [DEFAULT], ...more })],
    endpoints: [anEndpoint('vault-1/mgmt', { address: AT_A, services: 'https' })],
  });
const atPowerOn = (...sightings: AddressSighting[]): Evidence => anEvidence({ stage: 'power-on', sightings });

const POWER_ON: readonly Situation[] = [
  {
    what: 'the default address is that of the gateway: never the device',
    plan: withDefault({ defaultAddresses: [GATEWAY] }, { gateway: GATEWAY }),
    evidence: atPowerOn(aSighting(AT_A, { by: false }), aSighting(GATEWAY, { by: mac(0x99) })),
    verdicts: { 'vault-1/mgmt': 'unproven' },
    codes: [],
  },
  {
    what: 'the default address was held by the same MAC before anything was powered on',
    plan: withDefault(),
    evidence: atPowerOn(aSighting(AT_A, { by: false }), aSighting(DEFAULT, { by: mac(0x44) })),
    survey: surveyOf(DEFAULT, [mac(0x44)]),
    verdicts: { 'vault-1/mgmt': 'unproven' },
    codes: [],
  },
  {
    what: 'the default address answers through a router only',
    plan: withDefault(),
    evidence: atPowerOn(
      aSighting(AT_A, { reach: 'routed', echo: false }),
      aSighting(DEFAULT, { reach: 'routed', answers: 'https' }),
    ),
    verdicts: { 'vault-1/mgmt': 'unproven' },
    codes: [],
  },
  {
    what: 'nobody else can be behind it: the device came up on its default',
    plan: withDefault(),
    evidence: atPowerOn(aSighting(AT_A, { by: false }), aSighting(DEFAULT, { by: mac(7) })),
    verdicts: { 'vault-1/mgmt': 'matches' },
    codes: [],
  },
  {
    what: 'a portal page answers behind the router at every default: nobody is told to log in there',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24')],
      devices: [1, 2, 3].map((n) => aDevice(`vault-${n}`, { defaultAddresses: [`192.0.2.20${n}`] })),
      endpoints: [1, 2, 3].map((n) =>
        anEndpoint(`vault-${n}/mgmt`, { address: `192.0.2.3${n}`, services: 'https' }),
      ),
    }),
    evidence: atPowerOn(
      ...[1, 2, 3].flatMap((n) => [
        aSighting(`192.0.2.3${n}`, { reach: 'routed', echo: false }),
        aSighting(`192.0.2.20${n}`, {
          reach: 'routed',
          echo: false,
          answers: 'https',
          identity: { certificate: certificate('pp') },
        }),
      ]),
    ),
    verdicts: { 'vault-1/mgmt': 'unproven', 'vault-2/mgmt': 'unproven', 'vault-3/mgmt': 'unproven' },
    codes: [],
  },
  {
    what: 'a firewall refuses at the default address, where nobody is',
    plan: withDefault(),
    evidence: atPowerOn(
      aSighting(AT_A, { reach: 'routed', echo: false }),
      aSighting(DEFAULT, { reach: 'routed', echo: false, tcp: [aTcp('https', 'refused')] }),
    ),
    verdicts: { 'vault-1/mgmt': 'unproven' },
    codes: [],
  },
  {
    what: 'a device that stood there before the visit is judged by its own address',
    plan: withDefault({ existing: true }),
    evidence: atPowerOn(aSighting(AT_A, { by: mac(5), answers: 'https' }), aSighting(DEFAULT, { by: false })),
    verdicts: { 'vault-1/mgmt': 'matches' },
    codes: [],
  },
];

const STATE: readonly Situation[] = [
  {
    what: 'a packet filter on a host with the planned MAC and no planned service: not lost',
    plan: aPlan({
      endpoints: [
        anEndpoint('press-1/nic0', { address: AT_A, mac: mac(1), role: 'host', group: 'hosts' }),
        anEndpoint('press-1/nic1', { address: AT_B, mac: mac(2), role: 'host', group: 'hosts' }),
      ],
    }),
    evidence: seen(
      aSighting(AT_A, { by: mac(1), echo: false }),
      aSighting(AT_B, { by: mac(2), echo: false }),
    ),
    verdicts: { 'press-1/nic0': 'differs', 'press-1/nic1': 'differs' },
    codes: [],
    notes: ['no-echo press-1/nic0', 'no-echo press-1/nic1'],
    groups: { hosts: 'redundant' },
  },
  {
    what: 'a fifth of the echoes is lost, over and over',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(
      aSighting(AT_A, { answers: 'https', icmp: { outcome: 'replied', rttMs: 1, sent: 20, received: 16 } }),
    ),
    verdicts: { [A]: 'matches' },
    codes: [],
    notes: [`packets-lost ${A}`],
  },
  {
    what: 'management refuses HTTPS and answers by SSH: the path lives, what refuses is its own finding',
    plan: aPlan({
      endpoints: [A, B].map((id, index) =>
        anEndpoint(id, { address: index === 0 ? AT_A : AT_B, services: 'https ssh', group: 'mgmt' }),
      ),
      groups: [aGroup('mgmt', [A, B], { independent: ['controller'] })],
    }),
    evidence: seen(
      aSighting(AT_A, { by: mac(1), answers: 'ssh', tcp: [aTcp('https', 'refused'), aTcp('ssh')] }),
      aSighting(AT_B, { by: mac(2), answers: 'https ssh' }),
    ),
    verdicts: { [A]: 'differs', [B]: 'matches' },
    codes: [`service-refused ${A}`],
    groups: { mgmt: 'redundant' },
  },
  {
    what: 'TLS that asks for a certificate of ours: TLS is proven',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(
      aSighting(AT_A, {
        tcp: [aTcp('https')],
        proofs: [
          {
            ...aProof('https', 'proven', 'TLS; it asks for a client certificate'),
            cause: 'tls-alert',
          } as never,
        ],
      }),
    ),
    verdicts: { [A]: 'matches' },
    codes: [],
  },
  {
    what: 'the clock of one device is ten minutes off: a note about that device',
    plan: aPlan({
      endpoints: [1, 2, 3].map((n) =>
        anEndpoint(`vault-${n}/mgmt`, { address: `192.0.2.3${n}`, services: 'https' }),
      ),
    }),
    evidence: seen(
      ...[1, 2, 3].map((n) =>
        aSighting(`192.0.2.3${n}`, {
          by: mac(n),
          answers: 'https',
          identity: { https: { port: 443, status: 200, clockAheadSeconds: n === 2 ? 600 : 1 } },
        }),
      ),
    ),
    verdicts: { 'vault-1/mgmt': 'matches', 'vault-2/mgmt': 'matches', 'vault-3/mgmt': 'matches' },
    codes: [],
    notes: ['clock-differs bench'],
  },
  {
    what: 'two services of one dead port are one finding',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https ssh' })] }),
    evidence: seen(aSighting(AT_A, { answers: 'https', tcp: [aTcp('https'), aTcp('ssh', 'no-reply')] })),
    verdicts: { [A]: 'differs' },
    codes: [`service-missing ${A}`],
  },
  {
    what: 'the page answers with an error of its own: TLS and HTTP are proven, and it is noted',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(
      aSighting(AT_A, {
        tcp: [aTcp('https')],
        proofs: [
          { ...aProof('https', 'proven', '503 Service Unavailable'), cause: 'device-trouble' } as never,
        ],
      }),
    ),
    verdicts: { [A]: 'matches' },
    codes: [],
    notes: [`device-in-trouble ${A}`],
  },
  {
    what: 'the clock of the laptop is off for all: one finding, and none about certificates',
    plan: aPlan({
      endpoints: [1, 2, 3].map((n) =>
        anEndpoint(`vault-${n}/mgmt`, { address: `192.0.2.3${n}`, services: 'https' }),
      ),
    }),
    evidence: seen(
      ...[1, 2, 3].map((n) =>
        aSighting(`192.0.2.3${n}`, {
          by: mac(n),
          answers: 'https',
          identity: {
            https: { port: 443, status: 200, clockAheadSeconds: 94_608_000 },
            certificate: { ...certificate(`a${n}`), validTo: '2029-06-01T00:00:00Z' },
          },
        }),
      ),
    ),
    verdicts: { 'vault-1/mgmt': 'matches', 'vault-2/mgmt': 'matches', 'vault-3/mgmt': 'matches' },
    codes: ['clock-differs bench'],
  },
  {
    what: 'up for two minutes: check again',
    plan: aPlan({ endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })] }),
    evidence: seen(aSighting(AT_A, { answers: 'https', identity: { snmp: { upTimeTicks: 12_000 } } })),
    verdicts: { [A]: 'matches' },
    codes: [],
    notes: ['recently-started bench'],
  },
  {
    what: 'the plan promises separate adapters and nobody knows them: never redundant',
    plan: aPlan({
      endpoints: [
        anEndpoint(A, { address: AT_A, services: 'https', group: 'mgmt' }),
        anEndpoint(B, { address: AT_B, services: 'https', group: 'mgmt' }),
      ],
      groups: [aGroup('mgmt', [A, B], { independent: ['controller', 'feed'] })],
    }),
    evidence: seen(
      aSighting(AT_A, { by: mac(1), answers: 'https' }),
      aSighting(AT_B, { by: mac(2), answers: 'https' }),
    ),
    verdicts: { [A]: 'matches', [B]: 'matches' },
    codes: [],
    groups: { mgmt: 'unproven' },
  },
];

const lampSeen = (
  item: string,
  expect: string,
  saw: string,
): Pick<Situation, 'plan' | 'evidence' | 'verdicts'> => ({
  plan: aPlan({
    endpoints: [anEndpoint(A, { address: AT_A, services: 'https' })],
    observe: [{ subject: A, item, expect }],
  }),
  evidence: anEvidence({
    sightings: [aSighting(AT_A, { by: mac(1), answers: 'https' })],
    attestations: [{ subject: A, item, saw, by: 'R. Vance', at: T1 }],
  }),
  verdicts: { [A]: 'matches' },
});

const LAMPS: readonly Situation[] = [
  {
    what: 'a lamp seen in other words of the same meaning agrees',
    ...lampSeen('power lamp', 'steady green', 'solid green'),
    codes: [],
  },
  {
    what: 'a link light that blinks has traffic: as planned',
    ...lampSeen('link lamp', 'green', 'blinking green'),
    codes: [],
  },
  {
    what: 'a lamp of another colour is a fault',
    ...lampSeen('power lamp', 'steady green', 'amber'),
    codes: [`observation-differs ${A}`],
  },
  {
    what: 'what the words do not tell is asked of the person, never guessed as a fault',
    ...lampSeen('power lamp', 'steady green', 'the usual'),
    codes: [],
    notes: [`observation-open ${A}`],
  },
];

describe.each([
  ['one device for two', ONE_FOR_TWO],
  ['who answers', WHO_ANSWERS],
  ['where the laptop stands', PLACE],
  ['at power-on', POWER_ON],
  ['the state of devices', STATE],
  ['lamps', LAMPS],
] as const)('%s', (_name, situations) => {
  it.each(situations)('$what', ({ plan, evidence, survey, verdicts, codes, notes = [], groups = {} }) => {
    const all = Array.isArray(evidence) ? evidence : [evidence as Evidence];
    const judgement = judge(plan, all, { review: [], ...(survey === undefined ? {} : { survey }) });
    expect(Object.fromEntries(judgement.endpoints.map(({ id, verdict }) => [id, verdict]))).toEqual(verdicts);
    const name = ({ code, subject }: { readonly code: string; readonly subject: string }): string =>
      `${code} ${subject}`;
    const told = judgement.findings.filter(({ severity }) => severity !== 'note').map(name);
    expect(told.sort()).toEqual([...codes].sort());
    const noted = judgement.findings.filter(({ severity }) => severity === 'note').map(name);
    expect(noted).toEqual(expect.arrayContaining([...notes]));
    for (const [group, verdict] of Object.entries(groups))
      expect(judgement.groups.find((one) => one.name === group)?.verdict, group).toBe(verdict);
  });
});

it('tells the causes: what is silent behind a dead switch follows from it, and one thing is to be done', () => {
  const dead = PLACE.find(({ codes }) => codes.includes('switch-silent sw-b'));
  if (dead === undefined) throw new Error('the situation is not in the table');
  const { findings } = judge(dead.plan, [dead.evidence as Evidence], { review: [] });
  const jobs = findings.filter(({ severity, follows }) => severity !== 'note' && follows.length === 0);
  expect(jobs.map(({ id }) => id)).toEqual(['switch-silent:sw-b']);
  expect(findings.filter(({ code }) => code === 'endpoint-missing').map(({ follows }) => follows)).toEqual([
    ['switch-silent:sw-b'],
    ['switch-silent:sw-b'],
    ['switch-silent:sw-b'],
  ]);
});

it('counts one thing to do where nothing of an endpoint works, and one exchange where two are swapped', () => {
  const dead = judge(
    aPlan({
      devices: [aDevice('vault-1', { controllers: { A: { sysName: 'a' }, B: { sysName: 'b' } } })],
      endpoints: [
        anEndpoint(A, { address: AT_A, services: 'https' }),
        anEndpoint(B, { address: AT_B, services: 'https' }),
        anEndpoint('loft/mgmt', { address: '192.0.2.40', services: 'https ssh telnet' }),
      ],
    }),
    [
      seen(
        aSighting(AT_A, { by: mac(1), answers: 'https', identity: { snmp: { sysName: 'b' } } }),
        aSighting(AT_B, { by: mac(2), answers: 'https', identity: { snmp: { sysName: 'a' } } }),
        aSighting('192.0.2.40', {
          by: mac(3),
          tcp: [aTcp('https', 'refused'), aTcp('ssh', 'refused'), aTcp('telnet', 'no-reply')],
        }),
      ),
    ],
    { review: [] },
  );
  const jobs = dead.findings.filter(({ severity, follows }) => severity !== 'note' && follows.length === 0);
  expect(jobs.map(({ id }) => id)).toEqual([`wrong-device:${A}`, 'service-missing:loft/mgmt']);
  const known = new Set(jobs.map(({ id }) => id));
  for (const { follows } of dead.findings) for (const cause of follows) expect(known).toContain(cause);
});

it.each(POWER_ON)(
  'the headline at power-on is never "ready to hand over": $what',
  ({ plan, evidence, survey }) => {
    const seenThere = evidence as Evidence;
    const judgement = judge(plan, [seenThere], { review: [], ...(survey === undefined ? {} : { survey }) });
    const { outcome } = buildMatrix({
      run: { id: 'r', version: '0' },
      plan,
      evidence: [seenThere],
      judgement,
    });
    expect(outcome?.state).not.toBe('ready');
    expect(outcome?.headline).not.toMatch(/^ready/i);
  },
);
