import { describe, expect, it } from 'vitest';
import { judge } from '../../../src/judge/judge.js';
import type { Attestation, CertificateIdentity } from '../../../src/sighting/types.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac, T0, T1 } from '../../support/evidence.js';

const A = '192.0.2.11';

describe('observations', () => {
  const plan = aPlan({ observe: [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }] });
  const saw = (text: string, at = T0): Attestation => ({
    subject: 'Vault-1',
    item: 'power  lamp',
    saw: text,
    by: 'R. Field',
    at,
  });
  it.each<[string, readonly Attestation[], string, string[]]>([
    ['nobody looked', [], 'open', ['observation-open']],
    ['the same words', [saw('Steady green.')], 'matches', []],
    ['the same words in another order', [saw('green, steady')], 'matches', []],
    ['another colour', [saw('steady amber')], 'differs', ['observation-differs']],
    ['one word more', [saw('not steady green')], 'differs', ['observation-differs']],
    ['amber first, green later', [saw('amber'), saw('steady green', T1)], 'matches', []],
  ])('%s', (_why, attestations, verdict, codes) => {
    const result = judge(plan, [anEvidence({ attestations })], { review: [] });
    expect(result.observations[0]?.verdict).toBe(verdict);
    expect(result.findings.map(({ code }) => code)).toEqual(codes);
  });
});

describe('certificate dates (RFC 5280 §4.1.2.5: both ends included)', () => {
  const certificate = (validFrom: string, validTo: string): CertificateIdentity => ({
    port: 443,
    subject: 'CN=vault-1',
    issuer: 'CN=vault-1',
    altNames: [],
    fingerprint256: 'aa:bb',
    validFrom,
    validTo,
    selfSigned: true,
  });
  const plan = aPlan({
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' }),
      anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https' }),
    ],
  });
  it.each([
    ['2029-01-01T00:00:00.000Z', '2031-01-01T00:00:00.000Z', undefined],
    ['2029-01-01T00:00:00.000Z', T0, undefined],
    [T0, '2031-01-01T00:00:00.000Z', undefined],
    ['2029-01-01T00:00:00.000Z', '2030-01-02T03:04:04.000Z', 'fix'],
    ['2030-01-02T03:04:06.000Z', '2031-01-01T00:00:00.000Z', 'note'],
    ['not a date', 'neither', undefined],
  ])('%s to %s: %s', (from, to, severity) => {
    const identity = { certificate: certificate(from, to) };
    const { findings } = judge(
      plan,
      [
        anEvidence({
          sightings: [
            aSighting(A, { by: mac(1), answers: 'https', identity }),
            aSighting('192.0.2.12', { by: mac(2), answers: 'https', identity }),
          ],
        }),
      ],
      { review: [] },
    );
    const found = findings.filter(({ code }) => code === 'certificate-expired');
    expect(found.map((one) => one.severity)).toEqual(severity === undefined ? [] : [severity]);
    if (severity !== undefined) expect(found[0]?.about).toEqual(['vault-1/A/mgmt', 'vault-1/B/mgmt']);
  });
});

describe('strangers', () => {
  const plan = aPlan({
    networks: [aNetwork('mgmt', '192.0.2.0/24', { gateway: '192.0.2.1' })],
    endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, mac: mac(1) })],
  });
  it('are addresses that answer and stand nowhere in the plan; gateway and laptop are none', () => {
    const { strangers, findings, endpoints } = judge(
      plan,
      [
        anEvidence({
          sightings: [
            aSighting('192.0.2.1', { by: mac(0x10) }),
            aSighting('192.0.2.250', { by: mac(0xfe), own: true }),
            aSighting('192.0.2.77', { by: mac(0x77) }),
            aSighting('192.0.2.78', { by: mac(1) }),
            aSighting('192.0.2.79', { by: false }),
            aSighting(A, { by: false }),
          ],
        }),
      ],
      { review: [], makerOf: () => 'Example Works' },
    );
    expect(strangers).toEqual([
      { address: '192.0.2.77', mac: mac(0x77), network: 'mgmt', maker: 'Example Works' },
      { address: '192.0.2.78', mac: mac(1), network: 'mgmt', maker: 'Example Works' },
    ]);
    expect(findings.filter(({ code }) => code === 'stranger').map(({ severity }) => severity)).toEqual([
      'note',
      'note',
    ]);
    // The planned box sits on a wrong address: the missing endpoint says where.
    expect(endpoints[0]?.verdict).toBe('missing');
    expect(findings.find(({ code }) => code === 'endpoint-missing')?.message).toContain(
      'Its planned MAC answers at 192.0.2.78',
    );
  });
});
