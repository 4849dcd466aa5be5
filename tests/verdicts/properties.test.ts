/** What holds for the judge whatever the evidence is. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AddressSighting, Evidence } from '../../src/sighting/types.js';
import { judgeSurvey } from '../../src/survey/judge.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aDevice,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  claimed,
  mac,
  notRun,
  T0,
  T1,
} from '../support/evidence.js';
import { rounds } from '../support/rounds.js';

const ADDRESSES = ['192.0.2.11', '192.0.2.12', '198.51.100.11', '198.51.100.12', '192.0.2.200', '192.0.2.77'];
const plan = aPlan({
  networks: [aNetwork('mgmt', '192.0.2.0/24', { routed: true }), aNetwork('data-a', '198.51.100.0/24')],
  devices: [
    aDevice('vault-1', {
      defaultAddresses: ['192.0.2.200'],
      macPrefixes: ['00:00:5e:00:53'],
      identity: { sysName: 'vault*' },
      controllers: { A: { sysName: 'vault-1-a' }, B: { sysName: 'vault-1-b' } },
    }),
  ],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https ssh snmp', mac: mac(1) }),
    anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https', mac: mac(2) }),
    anEndpoint('vault-1/A/data0', {
      address: '198.51.100.11',
      services: 'iscsi-target',
      role: 'data',
      group: 'data',
    }),
    anEndpoint('vault-1/B/data0', {
      address: '198.51.100.12',
      services: 'iscsi-target ntp',
      role: 'data',
      group: 'data',
    }),
    anEndpoint('vault-1/A/fc0', { role: 'data', media: 'fc' }),
  ],
  observe: [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }],
});

const macs = fc.constantFrom(mac(1), mac(2), mac(3), '00:00:5e:00:01:07', '00:00:5e:00:54:01');
const reason = fc.constantFrom('interrupted', 'no ping program', '');
const off = reason.map((text) => notRun(text));
const service = fc.constantFrom(
  { service: 'https', port: 443 },
  { service: 'ssh', port: 22 },
  { service: 'iscsi-target', port: 3260 },
);
const sysName = fc.constantFrom('vault-1-a', 'vault-1-b', 'printer', '');

const sightings: fc.Arbitrary<AddressSighting> = fc
  .record({
    address: fc.constantFrom(...ADDRESSES),
    reach: fc.constantFrom('on-link' as const, 'routed' as const, 'no-route' as const),
    presence: fc.oneof(
      off,
      fc.constant({ outcome: 'unclaimed' as const, methods: ['neighbour-table' as const], asked: 3 }),
      fc
        .record({
          found: fc.uniqueArray(macs, { minLength: 1, maxLength: 3 }),
          method: fc.constantFrom('capture' as const, 'neighbour-table' as const),
          duplicateCheck: fc.constantFrom('proven' as const, 'in-turn' as const, 'not-excluded' as const),
        })
        .map(({ found, method, duplicateCheck }) => claimed(found, { methods: [method], duplicateCheck })),
    ),
    icmp: fc.oneof(
      off,
      fc.constant({ outcome: 'replied' as const, rttMs: 1, sent: 2, received: 2 }),
      fc.constant({ outcome: 'no-reply' as const, sent: 2 }),
      fc
        .constantFrom('host-unreachable' as const, 'filtered' as const)
        .map((cause) => ({ outcome: 'unreachable' as const, cause, detail: cause })),
    ),
    tcp: fc.array(
      fc.oneof(
        fc.tuple(service, off).map(([what, why]) => ({ ...what, ...why })),
        fc
          .tuple(
            service,
            fc.constantFrom(
              'accepted' as const,
              'refused' as const,
              'no-reply' as const,
              'unreachable' as const,
            ),
          )
          .map(([what, outcome]) => ({ ...what, outcome })),
      ),
      { maxLength: 3 },
    ),
    snmp: fc.oneof(
      off,
      fc
        .constantFrom('no-reply' as const, 'rejected' as const)
        .map((outcome) => ({ outcome, credential: 'site-ro' })),
    ),
    identity: fc.oneof(
      fc.constant({}),
      sysName.map((name) => ({ snmp: { sysName: name } })),
      fc.constant({ changed: [{ what: 'ssh line', first: 'a', later: 'b' }] }),
    ),
    own: fc.boolean(),
  })
  .map(({ address, ...more }) => aSighting(address, more));

const evidences: fc.Arbitrary<Evidence> = fc
  .record({
    name: fc.constantFrom('bench', 'hall', 'loft'),
    startedAt: fc.constantFrom(T0, T1),
    stage: fc.constantFrom('power-on' as const, 'configured' as const),
    complete: fc.boolean(),
    only: fc.constantFrom(undefined, ['vault-1'], ['press-1']),
    found: fc.uniqueArray(sightings, { selector: ({ address }) => address, maxLength: ADDRESSES.length }),
    proxied: fc.boolean(),
  })
  .map(({ name, startedAt, stage, complete, only, found, proxied }) =>
    anEvidence({
      vantage: { name },
      startedAt,
      stage,
      complete,
      only,
      sightings: found,
      proxyArp: proxied
        ? [{ network: 'mgmt', mac: mac(3), askedAddress: '192.0.2.99', answeredBy: [mac(3)] }]
        : [],
    }),
  );

const runs = fc.array(evidences, { maxLength: 3 });

describe('the judge', () => {
  it('never throws, gives each endpoint one verdict with a reason, and each finding its words', () => {
    fc.assert(
      fc.property(runs, (evidence) => {
        const { endpoints, findings } = judge(plan, evidence, { review: [] });
        expect(endpoints.map(({ id }) => id)).toEqual(plan.endpoints.map(({ id }) => id));
        for (const { reasons } of endpoints) expect(reasons.length).toBeGreaterThan(0);
        for (const { message, advice } of findings) {
          expect(message).not.toMatch(/undefined|\[object|NaN/);
          expect(advice).not.toMatch(/undefined|\[object|NaN/);
        }
        expect(judgeSurvey(plan, evidence).format).toBe('matchmark.survey/1');
      }),
      { numRuns: rounds(100, 300) },
    );
  });

  it('says the same whatever the order of the evidence', () => {
    const essence = (evidence: readonly Evidence[]) => {
      const { endpoints, findings, defaults } = judge(plan, evidence, { review: [] });
      return {
        verdicts: endpoints.map(({ id, verdict }) => [id, verdict]),
        findings: findings.map(({ code, subject, severity }) => [code, subject, severity]),
        defaults: defaults.map(({ outcome }) => outcome),
      };
    };
    fc.assert(
      fc.property(runs, (evidence) => {
        expect(essence([...evidence].reverse())).toEqual(essence(evidence));
        const shuffled = evidence.map((one) => ({ ...one, sightings: [...one.sightings].reverse() }));
        expect(essence(shuffled)).toEqual(essence(evidence));
      }),
      { numRuns: rounds(70, 200) },
    );
  });

  it('calls nothing missing where nothing was asked (honesty rule, DESIGN 2)', () => {
    const blind = evidences.map((one) => ({
      ...one,
      sightings: one.sightings.map(({ address, reach }) =>
        aSighting(address, { reach, presence: notRun('no right'), icmp: notRun('no ping program') }),
      ),
    }));
    fc.assert(
      fc.property(fc.array(blind, { maxLength: 3 }), (evidence) => {
        const { endpoints, groups, findings } = judge(plan, evidence, { review: [] });
        expect(endpoints.every(({ verdict }) => verdict === 'unproven')).toBe(true);
        expect(groups.every(({ verdict }) => verdict === 'unproven')).toBe(true);
        expect(findings.filter(({ severity }) => severity !== 'note')).toEqual([]);
      }),
      { numRuns: rounds(70, 200) },
    );
  });

  it('never matches without an answer', () => {
    fc.assert(
      fc.property(runs, (evidence) => {
        for (const { verdict, sightings: looks } of judge(plan, evidence, { review: [] }).endpoints)
          if (verdict === 'matches' && !evidence.some(({ stage }) => stage === 'power-on'))
            expect(
              looks.some(
                ({ icmp, tcp, proofs, snmp }) =>
                  icmp.outcome === 'replied' ||
                  tcp.some(({ outcome }) => outcome === 'accepted') ||
                  proofs.some(({ outcome }) => outcome === 'proven') ||
                  snmp.outcome === 'rejected',
              ),
            ).toBe(true);
      }),
      { numRuns: rounds(70, 200) },
    );
  });
});
