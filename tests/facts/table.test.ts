/** DESIGN 6, "How an endpoint's verdict follows from what was seen": every row, with the reason for the expectation. */
import { describe, expect, it } from 'vitest';
import { ruleOf } from '../../src/findings/rule-of.js';
import type { EndpointVerdict } from '../../src/matrix/matrix.js';
import type { Plan } from '../../src/plan/model.js';
import type { AddressSighting, Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aDevice,
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
  UNCLAIMED,
} from '../support/evidence.js';

const A = '192.0.2.11';
const ID = 'vault-1/A/mgmt';

const plan = (services = 'https ssh', more: Parameters<typeof anEndpoint>[1] = {}): Plan =>
  aPlan({ endpoints: [anEndpoint(ID, { address: A, services, ...more })] });
const evidence = (...sightings: AddressSighting[]): Evidence => anEvidence({ sightings });

interface Case {
  readonly why: string;
  readonly plan?: Plan;
  readonly evidence: Evidence | readonly Evidence[];
  readonly verdict: EndpointVerdict;
  /** Finding codes with subject ID, sorted. */
  readonly codes: readonly string[];
  readonly reason?: RegExp;
}

const CASES: readonly Case[] = [
  {
    why: 'every planned service proven and echo replied',
    evidence: evidence(aSighting(A, { answers: 'https ssh' })),
    verdict: 'matches',
    codes: [],
    reason: /https, ssh answer/,
  },
  {
    why: 'no echo but the services answer: matches, and said',
    evidence: evidence(aSighting(A, { answers: 'https ssh', echo: false })),
    verdict: 'matches',
    codes: [],
    reason: /no echo reply, but the services answer/,
  },
  {
    why: 'ping is absent: nothing is missing for it',
    evidence: evidence(aSighting(A, { answers: 'https ssh', icmp: notRun('no ping program') })),
    verdict: 'matches',
    codes: [],
    reason: /echo was not asked: no ping program/,
  },
  {
    why: 'nothing planned but the address, and echo replied',
    plan: plan(''),
    evidence: evidence(aSighting(A)),
    verdict: 'matches',
    codes: [],
  },
  {
    why: 'an accepted connection is enough where the protocol was not asked',
    plan: plan('https'),
    evidence: evidence(
      aSighting(A, {
        tcp: [aTcp('https')],
        proofs: [{ ...aProof('https', 'not-run'), cause: 'needs-another-answer' }],
      }),
    ),
    verdict: 'matches',
    codes: [],
    reason: /accepted connection alone/,
  },
  {
    why: 'a connection proves no protocol that the place cannot speak (a shell elsewhere)',
    plan: plan('https'),
    evidence: evidence(
      aSighting(A, {
        tcp: [aTcp('https')],
        proofs: [{ ...aProof('https', 'not-run'), cause: 'not-supported' }],
      }),
    ),
    verdict: 'unproven',
    codes: [],
  },
  {
    why: 'NTP over UDP cannot be proven by silence, so it is only said',
    plan: plan('ntp'),
    evidence: evidence(aSighting(A, { proofs: [aProof('ntp', 'silent')] })),
    verdict: 'matches',
    codes: [],
    reason: /ntp \(udp 123\) could not be proven/,
  },
  {
    why: 'no route: nobody could have answered',
    evidence: evidence(
      aSighting(A, {
        reach: 'no-route',
        presence: notRun('no route'),
        icmp: notRun('no route'),
        reachReason: 'this laptop has no address in mgmt',
        mend: { add: 'ip addr add 192.0.2.9/24 dev eth0', remove: 'ip addr del 192.0.2.9/24 dev eth0' },
      }),
    ),
    verdict: 'unproven',
    codes: [],
    reason: /to look from here: ip addr add 192\.0\.2\.9\/24 dev eth0/,
  },
  {
    why: 'another network that is not called routed, nothing answered from it',
    evidence: evidence(
      aSighting(A, {
        reach: 'routed',
        echo: false,
        tcp: [aTcp('https', 'no-reply'), aTcp('ssh', 'no-reply')],
      }),
    ),
    verdict: 'unproven',
    codes: [],
    reason: /does not call it routed/,
  },
  {
    why: 'the plan calls the network routed, so silence counts',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { routed: true })],
      endpoints: [anEndpoint(ID, { address: A, services: 'https' })],
    }),
    evidence: evidence(aSighting(A, { reach: 'routed', echo: false, tcp: [aTcp('https', 'no-reply')] })),
    verdict: 'missing',
    codes: ['endpoint-missing'],
  },
  {
    why: 'another endpoint of the network answered across the router, so silence counts',
    plan: aPlan({
      endpoints: [
        anEndpoint(ID, { address: A, services: 'https' }),
        anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12' }),
      ],
    }),
    evidence: evidence(
      aSighting(A, { reach: 'routed', echo: false, tcp: [aTcp('https', 'no-reply')] }),
      aSighting('192.0.2.12', { reach: 'routed' }),
    ),
    verdict: 'missing',
    codes: ['endpoint-missing'],
  },
  {
    why: 'a router on the way forbids the question (RFC 1812 §5.2.7.1 code 13): no proof of absence',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { routed: true })],
      endpoints: [anEndpoint(ID, { address: A })],
    }),
    evidence: evidence(
      aSighting(A, {
        reach: 'routed',
        icmp: {
          outcome: 'unreachable',
          cause: 'filtered',
          detail: 'communication administratively prohibited',
          by: '192.0.2.1',
        },
      }),
    ),
    verdict: 'unproven',
    codes: [],
    reason: /kept from arriving/,
  },
  {
    why: 'a router knows no way to the network (RFC 792, code 0): the device could not have been seen',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { routed: true })],
      endpoints: [anEndpoint(ID, { address: A, services: 'https' })],
    }),
    evidence: evidence(
      aSighting(A, {
        reach: 'routed',
        icmp: {
          outcome: 'unreachable',
          cause: 'net-unreachable',
          detail: 'Destination Net Unreachable',
          by: '192.0.2.1',
        },
        tcp: [
          {
            port: 443,
            service: 'https',
            outcome: 'unreachable',
            cause: 'net-unreachable',
            detail: 'network is unreachable',
          },
        ],
        proofs: [aProof('https', 'unreachable')],
      }),
    ),
    verdict: 'unproven',
    codes: [],
    reason: /kept from arriving: echo: Destination Net Unreachable; https: network is unreachable$/m,
  },
  {
    why: 'the last router says host unreachable (RFC 1812 §5.2.7.1 code 1): ARP got no answer there',
    plan: aPlan({
      networks: [aNetwork('mgmt', '192.0.2.0/24', { routed: true })],
      endpoints: [anEndpoint(ID, { address: A })],
    }),
    evidence: evidence(
      aSighting(A, {
        reach: 'routed',
        icmp: {
          outcome: 'unreachable',
          cause: 'host-unreachable',
          detail: 'Destination Host Unreachable',
          by: '192.0.2.1',
        },
      }),
    ),
    verdict: 'missing',
    codes: ['endpoint-missing'],
  },
  {
    why: 'same link and nobody claims the address',
    evidence: evidence(aSighting(A, { presence: UNCLAIMED })),
    verdict: 'missing',
    codes: ['endpoint-missing'],
  },
  {
    why: 'same link, neighbour table unreadable, and everything asked stayed silent',
    evidence: evidence(
      aSighting(A, { presence: notRun('no neighbour table'), echo: false, tcp: [aTcp('https', 'no-reply')] }),
    ),
    verdict: 'missing',
    codes: ['endpoint-missing'],
  },
  {
    why: 'same link, and the full neighbour table of this laptop let no question out: silence proves nothing',
    evidence: evidence(
      aSighting(A, {
        presence: { ...notRun('the neighbour table stayed full', 'fewer at a time'), unasked: true },
        echo: false,
        tcp: [aTcp('https', 'no-reply')],
      }),
    ),
    verdict: 'unproven',
    codes: [],
    reason: /stayed full\nto prove it: fewer at a time/,
  },
  {
    why: 'same link, but nothing at all could be asked',
    evidence: evidence(
      aSighting(A, { presence: notRun('no right to look'), icmp: notRun('no ping program', 'install ping') }),
    ),
    verdict: 'unproven',
    codes: [],
    reason: /no right to look/,
  },
  {
    why: 'a TCP refusal proves that the host is there: no `missing`',
    plan: plan('https'),
    evidence: evidence(
      aSighting(A, { presence: notRun('no neighbour table'), echo: false, tcp: [aTcp('https', 'refused')] }),
    ),
    verdict: 'differs',
    codes: ['service-refused'],
  },
  {
    why: 'behind a router an ICMP error in the name of the device proves nothing alone: a firewall sends it for the absent, too',
    plan: plan('https'),
    evidence: evidence(
      aSighting(A, {
        reach: 'routed',
        icmp: { outcome: 'unreachable', cause: 'port-unreachable', detail: 'port unreachable', by: A },
        tcp: [aTcp('https', 'no-reply')],
      }),
    ),
    verdict: 'unproven',
    codes: [],
    reason: /may be another/,
  },
  {
    why: 'behind a router a refusal alone proves nothing (DESIGN 6)',
    plan: plan('https'),
    evidence: evidence(aSighting(A, { reach: 'routed', echo: false, tcp: [aTcp('https', 'refused')] })),
    verdict: 'unproven',
    codes: [],
    reason: /a firewall does for the absent/,
  },
  {
    why: 'on the same link an ICMP error from the device itself proves that it is there',
    plan: plan('https'),
    evidence: evidence(
      aSighting(A, {
        presence: notRun('neither table nor capture'),
        icmp: { outcome: 'unreachable', cause: 'host-unreachable', detail: 'port unreachable', by: A },
        tcp: [aTcp('https', 'no-reply')],
      }),
    ),
    verdict: 'differs',
    codes: ['service-missing'],
  },
  {
    why: 'claimed by ARP, silent to everything else: one finding a planned service',
    evidence: evidence(
      aSighting(A, { echo: false, tcp: [aTcp('https', 'no-reply'), aTcp('ssh', 'no-reply')] }),
    ),
    verdict: 'differs',
    codes: ['service-missing', 'service-missing'],
  },
  {
    why: 'claimed, no echo, and no service is planned',
    plan: plan(''),
    evidence: evidence(aSighting(A, { echo: false })),
    verdict: 'differs',
    codes: ['no-echo'],
  },
  {
    why: 'claimed, but there was no ping and nothing else to ask: not proven, and not wrong',
    plan: plan(''),
    evidence: evidence(aSighting(A, { icmp: notRun('no ping program', 'apt-get install iputils-ping') })),
    verdict: 'unproven',
    codes: [],
    reason: /to prove it: apt-get install iputils-ping/,
  },
  {
    why: 'claimed by two in answer to one question',
    evidence: evidence(aSighting(A, { by: [mac(1), mac(2)], answers: 'https ssh' })),
    verdict: 'differs',
    codes: ['duplicate-address'],
  },
  {
    why: 'a virtual address may be answered by two over time',
    plan: plan('https ssh', { virtual: true }),
    evidence: evidence(aSighting(A, { by: [mac(1), mac(2)], answers: 'https ssh' })),
    verdict: 'matches',
    codes: [],
  },
  {
    why: 'the MAC is not the planned one',
    plan: plan('https ssh', { mac: mac(9) }),
    evidence: evidence(aSighting(A, { by: mac(1), answers: 'https ssh' })),
    verdict: 'differs',
    codes: ['wrong-device'],
  },
  {
    why: 'the identity is not the planned one',
    plan: aPlan({
      devices: [aDevice('vault-1', { identity: { sysName: 'vault-1*' } })],
      endpoints: [anEndpoint(ID, { address: A, services: 'https' })],
    }),
    evidence: evidence(aSighting(A, { answers: 'https', identity: { snmp: { sysName: 'printer-3' } } })),
    verdict: 'differs',
    codes: ['wrong-device'],
  },
  {
    why: 'a service refuses while the host is there',
    evidence: evidence(
      aSighting(A, { tcp: [aTcp('https', 'refused'), aTcp('ssh')], proofs: [aProof('ssh', 'proven')] }),
    ),
    verdict: 'differs',
    codes: ['service-refused'],
  },
  {
    why: 'a service is silent while the host is there',
    evidence: evidence(
      aSighting(A, { tcp: [aTcp('https', 'no-reply'), aTcp('ssh')], proofs: [aProof('ssh', 'proven')] }),
    ),
    verdict: 'differs',
    codes: ['service-missing'],
  },
  {
    why: 'the port accepts and nothing speaks',
    plan: plan('ssh'),
    evidence: evidence(aSighting(A, { tcp: [aTcp('ssh')], proofs: [aProof('ssh', 'silent')] })),
    verdict: 'differs',
    codes: ['service-missing'],
    reason: /accepts a connection but says nothing/,
  },
  {
    why: 'the port accepts and another protocol speaks',
    plan: plan('ssh'),
    evidence: evidence(
      aSighting(A, { tcp: [aTcp('ssh')], proofs: [aProof('ssh', 'other-protocol', 'HTTP/1.1 400')] }),
    ),
    verdict: 'differs',
    codes: ['service-other'],
  },
  {
    why: 'planned SNMP with a credential stays silent while the host is there',
    plan: plan('https snmp'),
    evidence: evidence(
      aSighting(A, { answers: 'https', snmp: { outcome: 'no-reply', credential: 'site-ro' } }),
    ),
    verdict: 'differs',
    codes: ['snmp-no-answer'],
  },
  {
    why: 'SNMP that nobody listed as a service stays silent: a note, the endpoint matches',
    plan: plan('https'),
    evidence: evidence(
      aSighting(A, { answers: 'https', snmp: { outcome: 'no-reply', credential: 'site-ro' } }),
    ),
    verdict: 'matches',
    codes: ['snmp-no-answer'],
  },
  {
    why: 'an agent that rejects the planned credential does not answer as planned, like one that stays silent to it',
    plan: plan('snmp'),
    evidence: evidence(
      aSighting(A, { snmp: { outcome: 'rejected', credential: 'site-v3', detail: 'unknown user name' } }),
    ),
    verdict: 'differs',
    codes: ['snmp-no-answer'],
  },
  {
    why: 'planned SNMP whose port is closed refuses, like any service',
    plan: plan('https snmp'),
    evidence: evidence(
      aSighting(A, {
        answers: 'https',
        snmp: { outcome: 'refused', credential: 'site-ro', detail: 'port closed' },
      }),
    ),
    verdict: 'differs',
    codes: ['service-refused'],
  },
  {
    why: 'interrupted before a service was asked',
    evidence: anEvidence({
      complete: false,
      sightings: [
        aSighting(A, { tcp: [aTcp('https'), aTcp('ssh', 'not-run')], proofs: [aProof('https', 'proven')] }),
      ],
    }),
    verdict: 'unproven',
    codes: [],
    reason: /ssh was not asked/,
  },
  {
    why: 'the run was cut short before this address',
    evidence: anEvidence({ complete: false }),
    verdict: 'unproven',
    codes: [],
    reason: /cut short/,
  },
  {
    why: 'the run was limited to another device',
    evidence: anEvidence({ only: ['press-1'] }),
    verdict: 'unproven',
    codes: [],
    reason: /limited to press-1/,
  },
  {
    why: "the laptop's own address is the planned one",
    evidence: anEvidence({
      sightings: [aSighting(A, { own: true, answers: 'https ssh' })],
      vantage: { interfaces: [{ name: 'eth0', mac: mac(0xfe), addresses: [`${A}/24`], up: true }] },
    }),
    verdict: 'unproven',
    codes: ['own-address-planned'],
  },
  {
    why: 'the on-link vantage decides over the routed one',
    evidence: [
      anEvidence({
        vantage: { name: 'far' },
        sightings: [aSighting(A, { reach: 'routed', answers: 'https ssh' })],
      }),
      anEvidence({ vantage: { name: 'near' }, sightings: [aSighting(A, { presence: UNCLAIMED })] }),
    ],
    verdict: 'missing',
    codes: ['endpoint-missing'],
    reason: /far \(routed, .*\) got an answer/,
  },
  {
    why: 'a vantage without a route proves nothing against one that has it',
    evidence: [
      anEvidence({
        vantage: { name: 'near' },
        sightings: [aSighting(A, { reach: 'routed', answers: 'https ssh' })],
      }),
      anEvidence({
        vantage: { name: 'blind' },
        sightings: [aSighting(A, { reach: 'no-route', presence: notRun('x'), icmp: notRun('x') })],
      }),
    ],
    verdict: 'matches',
    codes: [],
  },
  {
    why: 'a second device stays possible where only the neighbour table could be read (DESIGN 6)',
    evidence: evidence(
      aSighting(A, {
        answers: 'https ssh',
        presence: claimed([mac(1)], {
          methods: ['neighbour-table'],
          duplicateCheck: 'not-excluded',
          duplicateCheckReason: 'no capture program',
        }),
      }),
    ),
    verdict: 'matches',
    codes: [],
    reason: /could not be excluded: no capture program/,
  },
];

describe('the fixed table', () => {
  it.each(CASES)('$verdict: $why', ({ plan: given, evidence: seen, verdict, codes, reason }) => {
    const all = Array.isArray(seen) ? seen : [seen as Evidence];
    const judgement = judge(given ?? plan(), all, { review: [] });
    const result = judgement.endpoints.find(({ id }) => id === ID);
    expect(result?.verdict).toBe(verdict);
    const found = judgement.findings
      .filter(({ subject, code }) => subject === ID && ruleOf(code)?.family === 'site')
      .map(({ code }) => code);
    expect(found.sort()).toEqual([...codes].sort());
    if (reason !== undefined) expect(result?.reasons.join('\n')).toMatch(reason);
  });

  it('gives every verdict a reason', () => {
    for (const { plan: given, evidence: seen } of CASES) {
      const all = Array.isArray(seen) ? seen : [seen as Evidence];
      const [first] = judge(given ?? plan(), all, { review: [] }).endpoints;
      expect(first?.reasons.length).toBeGreaterThan(0);
    }
  });

  it('tells what differs as values, for every endpoint that differs and for no other (DESIGN 7)', () => {
    for (const { why, plan: given, evidence: seen, verdict } of CASES) {
      const all = Array.isArray(seen) ? seen : [seen as Evidence];
      const found = judge(given ?? plan(), all, { review: [] }).endpoints.find(({ id }) => id === ID);
      expect((found?.differences.length ?? 0) > 0, why).toBe(verdict === 'differs');
      for (const { planned, measured, evidence: where } of found?.differences ?? []) {
        expect(measured, why).not.toBe('');
        expect(planned, why).not.toBe(measured);
        expect(where, why).not.toBe('');
      }
    }
  });
});
