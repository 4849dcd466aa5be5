import { execFileSync } from 'node:child_process';
import { X509Certificate } from 'node:crypto';
import { generate } from 'selfsigned';
import { describe, expect, it } from 'vitest';
import { certificateIdentity } from '../../src/probe/certificate.js';

const openssl = (args: readonly string[], input: string) =>
  execFileSync('openssl', args, { input, encoding: 'utf8' }).trim();

describe('certificateIdentity', () => {
  it('says what openssl says of the same certificate', async () => {
    const { cert } = await generate(
      [
        { name: 'commonName', value: 'vault-1-a.example' },
        { name: 'organizationName', value: 'Harbour Library' },
      ],
      {
        keySize: 2048,
        extensions: [
          {
            name: 'subjectAltName',
            altNames: [
              { type: 2, value: 'vault-1.example' },
              { type: 7, ip: '192.0.2.10' },
            ],
          },
        ],
      },
    );
    const identity = certificateIdentity(new X509Certificate(cert).raw, 443);
    const x509 = (...args: string[]) => openssl(['x509', '-noout', ...args], cert);
    expect(identity?.fingerprint256).toBe(x509('-fingerprint', '-sha256').replace(/^.*=/, '').toLowerCase());
    expect(identity?.subject).toBe(
      x509('-subject', '-nameopt', 'sep_comma_plus_space').replace(/^subject=/, ''),
    );
    const date = (text: string) => new Date(text.replace(/^.*=/, '')).toISOString();
    expect(identity?.validFrom).toBe(date(x509('-startdate')));
    expect(identity?.validTo).toBe(date(x509('-enddate')));
    expect(identity?.altNames).toEqual(['vault-1.example', '192.0.2.10']);
    expect(identity?.selfSigned).toBe(true);
  });

  it('has no word on bytes that are no certificate', () => {
    expect(certificateIdentity(Buffer.from('3003020101', 'hex'), 443)).toBeUndefined();
    expect(certificateIdentity(new Uint8Array(), 443)).toBeUndefined();
  });
});
