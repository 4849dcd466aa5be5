import { describe, expect, it } from 'vitest';
import type { CertificateIdentity } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, aSighting, mac, T0 } from '../support/evidence.js';

const A = '192.0.2.11';

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
