/** Who counts as a second device. Cases (a) to (d): RFC 9568 §7.3 and §8.1.2, with our verdicts (standards.md part 3). */
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../src/findings/index.js';
import type { Endpoint } from '../../src/plan/model.js';
import type { AddressSighting, PresenceSighting } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aClaim,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  claimed,
  mac,
  notRun,
} from '../support/evidence.js';

const A = '192.0.2.11';
const VRRP = '00:00:5e:00:01:01';

function duplicates(
  sighting: AddressSighting,
  more: readonly Endpoint[] = [],
  plannedMac?: string,
): Finding[] {
  const endpoint = anEndpoint('vault-1/A/mgmt', { address: A, services: 'https', mac: plannedMac });
  const plan = aPlan({ endpoints: [endpoint, ...more] });
  return judge(plan, [anEvidence({ sightings: [sighting] })], { review: [] }).findings.filter(
    ({ code }) => code === 'duplicate-address',
  );
}

function presence(...claims: ReturnType<typeof aClaim>[]): PresenceSighting {
  const macs = [...new Set(claims.map((claim) => claim.mac))];
  return claimed(macs, { claims, methods: [claims[0]?.method ?? 'capture'] });
}

describe('two devices on one address', () => {
  it('is proven by two answers to one question, and the evidence has both MACs, method and time', () => {
    const [found] = duplicates(
      aSighting(A, {
        answers: 'https',
        presence: presence(
          aClaim(mac(0xc), { afterMs: 0.2 }),
          aClaim(mac(0xb), { afterMs: 0.201, count: 2 }),
        ),
      }),
    );
    expect(found).toMatchObject({ severity: 'stop', subject: 'vault-1/A/mgmt' });
    expect(found?.message).toContain('proven');
    expect(found?.evidence.join('\n')).toMatch(
      /00:00:5e:00:53:0b by captured ARP answers, 2 times, first after 0.201 ms/,
    );
    expect(found?.evidence.join('\n')).toMatch(
      /2030-01-02T03:04:05.000Z: 192\.0\.2\.11 is at 00:00:5e:00:53:0c/,
    );
  });

  it('is likely where the neighbour table showed one after the other', () => {
    const [found] = duplicates(
      aSighting(A, {
        answers: 'https',
        presence: presence(
          aClaim(mac(1), { method: 'neighbour-table' }),
          aClaim(mac(2), { method: 'neighbour-table' }),
        ),
      }),
    );
    expect(found?.message).toContain('likely, not proven');
  });

  it('is likely where the device changed between two connections and no capture excluded a second one', () => {
    const changed = [{ what: 'ssh line', first: 'SSH-2.0-a', later: 'SSH-2.0-b' }];
    const table = claimed([mac(1)], { methods: ['neighbour-table'], duplicateCheck: 'not-excluded' });
    const [found] = duplicates(aSighting(A, { answers: 'https', presence: table, identity: { changed } }));
    expect(found?.message).toContain('ssh line changed between two connections');
    expect(found?.advice).toContain('Unplug the planned device');
  });

  it('is not made of a changed fact where capture proved that there is one device', () => {
    const changed = [{ what: 'certificate fingerprint', first: '00', later: '01' }];
    expect(duplicates(aSighting(A, { answers: 'https', by: mac(1), identity: { changed } }))).toEqual([]);
  });

  it('is likely where two vantages on the link see two MACs', () => {
    const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' })] });
    const { findings } = judge(
      plan,
      [
        anEvidence({
          vantage: { name: 'bench' },
          sightings: [aSighting(A, { by: mac(1), answers: 'https' })],
        }),
        anEvidence({
          vantage: { name: 'hall' },
          sightings: [aSighting(A, { by: mac(2), answers: 'https' })],
        }),
      ],
      { review: [] },
    );
    expect(findings.find(({ code }) => code === 'duplicate-address')?.message).toContain('likely');
  });

  it('(a) one virtual MAC from several Ethernet sources is one address that moves', () => {
    expect(
      duplicates(
        aSighting(A, {
          answers: 'https',
          presence: presence(
            aClaim(VRRP, { frameSource: mac(0xfe) }),
            aClaim(VRRP, { frameSource: mac(0xfd) }),
          ),
        }),
      ),
    ).toEqual([]);
  });

  it('(a) the physical side of a virtual router is the same device', () => {
    expect(
      duplicates(
        aSighting(A, {
          answers: 'https',
          presence: presence(aClaim(VRRP, { frameSource: mac(0xfe) }), aClaim(mac(0xfe))),
        }),
      ),
    ).toEqual([]);
  });

  it('(b) a virtual MAC and a different physical MAC are suspicious', () => {
    const [found] = duplicates(
      aSighting(A, {
        answers: 'https',
        presence: presence(aClaim(VRRP, { frameSource: mac(0xfe) }), aClaim(mac(7))),
      }),
    );
    expect(found?.message).toContain("virtual router's MAC");
  });

  it('(c) two physical MACs are a clash', () => {
    expect(duplicates(aSighting(A, { answers: 'https', by: [mac(1), mac(2)] }))).toHaveLength(1);
  });

  it('(d) a claim in frames of another card is a relay: noted, no finding', () => {
    const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' })] });
    const sighting = aSighting(A, {
      answers: 'https',
      presence: presence(aClaim(mac(1), { frameSource: mac(0x20) })),
    });
    const { endpoints, findings } = judge(plan, [anEvidence({ sightings: [sighting] })], { review: [] });
    expect(findings).toEqual([]);
    expect(endpoints[0]?.reasons.join('\n')).toContain('a relay stands between');
  });

  it('is not a planned pair that was seen at one controller, then at the other', () => {
    const partner = anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', mac: mac(2) });
    const table = presence(
      aClaim(mac(1), { method: 'neighbour-table' }),
      aClaim(mac(2), { method: 'neighbour-table' }),
    );
    expect(duplicates(aSighting(A, { answers: 'https', presence: table }), [partner], mac(1))).toEqual([]);
  });

  it('is a planned pair where both controllers answer one question', () => {
    const partner = anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', mac: mac(2) });
    const [found] = duplicates(aSighting(A, { answers: 'https', by: [mac(1), mac(2)] }), [partner], mac(1));
    expect(found?.message).toContain('00:00:5e:00:53:02 is planned for vault-1/B/mgmt');
  });

  it('is raised beside the silence of a planned service (the table row says service-missing)', () => {
    const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' })] });
    const sighting = aSighting(A, {
      by: [mac(1), mac(2)],
      echo: false,
      tcp: [{ port: 443, service: 'https', outcome: 'no-reply' }],
    });
    const { findings } = judge(plan, [anEvidence({ sightings: [sighting] })], { review: [] });
    expect(findings.map(({ code }) => code)).toEqual(['duplicate-address', 'service-missing']);
  });
});

describe('a router that answers for everything', () => {
  const router = mac(0x99);
  const addresses = ['192.0.2.11', '192.0.2.12', '192.0.2.13'];
  const plan = aPlan({
    endpoints: addresses.map((address, index) =>
      anEndpoint(`vault-${index + 1}/mgmt`, { address, services: 'https' }),
    ),
  });
  const proxyArp = [{ network: 'mgmt', mac: router, askedAddress: '192.0.2.77', answeredBy: [router] }];

  it('is one finding; what only it claims is judged by its services, and is no stranger', () => {
    const { endpoints, findings, strangers } = judge(
      plan,
      [
        anEvidence({
          proxyArp,
          sightings: [
            aSighting('192.0.2.11', { by: router, answers: 'https' }),
            aSighting('192.0.2.12', {
              by: router,
              echo: false,
              tcp: [{ port: 443, service: 'https', outcome: 'no-reply' }],
            }),
            aSighting('192.0.2.13', { by: [mac(3), router], answers: 'https' }),
            aSighting('192.0.2.78', { by: router, icmp: notRun('not asked') }),
          ],
        }),
      ],
      { review: [] },
    );
    expect(findings.filter(({ code }) => code === 'proxy-arp')).toHaveLength(1);
    expect(endpoints.map(({ verdict }) => verdict)).toEqual(['matches', 'missing', 'matches']);
    expect(findings.some(({ code }) => code === 'duplicate-address')).toBe(false);
    expect(strangers).toEqual([]);
  });

  it('is not one device that has the addresses of three: one of the three may be it, the others are not there', () => {
    const { findings, endpoints } = judge(
      plan,
      [
        anEvidence({
          proxyArp: [{ network: 'mgmt', mac: router, askedAddress: '192.0.2.77', answeredBy: [] }],
          sightings: addresses.map((address) => aSighting(address, { by: router, answers: 'https' })),
        }),
      ],
      { review: [] },
    );
    expect(findings.some(({ code }) => code === 'proxy-arp')).toBe(false);
    expect(endpoints.map(({ verdict }) => verdict)).toEqual(['matches', 'differs', 'differs']);
    expect(findings.filter(({ code }) => code === 'answered-by-partner')).toHaveLength(2);
  });
});
