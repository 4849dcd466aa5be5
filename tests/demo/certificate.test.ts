import { spawnSync } from 'node:child_process';
import { X509Certificate } from 'node:crypto';
import { expect, test } from 'vitest';
import { makeCertificate } from '../../src/demo/certificate.js';
import { integer, oid, time } from '../../src/demo/der.js';

const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');

// ITU-T X.690 §8.3 and §8.19; the example of §8.19.5 is {2 999 3}, whose first two arcs make 1079.
test.each([
  ['zero', integer(Uint8Array.of(0, 0)), '020100'],
  ['a first bit that is set', integer(Uint8Array.of(0x80)), '02020080'],
  ['an object identifier', oid('2.999.3'), '0603883703'],
  [
    'UTCTime (RFC 5280 section 4.1.2.5.1)',
    time(new Date('2030-01-02T03:04:05Z')),
    `170d${hex(Buffer.from('300102030405Z'))}`,
  ],
  [
    'GeneralizedTime (section 4.1.2.5.2)',
    time(new Date('2050-01-02T03:04:05Z')),
    `180f${hex(Buffer.from('20500102030405Z'))}`,
  ],
])('%s', (_, bytes, expected) => {
  expect(hex(bytes)).toBe(expected);
});

test('reads back with its name, its dates and a signature of its own key', () => {
  const now = Date.UTC(2030, 0, 2);
  const { cert, key } = makeCertificate('vault-1.example', now);
  const read = new X509Certificate(cert);
  expect(read.subject).toBe('CN=vault-1.example');
  expect(read.subjectAltName).toBe('DNS:vault-1.example');
  expect(new Date(read.validFrom)).toEqual(new Date('2030-01-01T00:00:00Z'));
  expect(new Date(read.validTo)).toEqual(new Date('2030-04-02T00:00:00Z'));
  expect(read.verify(read.publicKey)).toBe(true);
  expect(key).toContain('PRIVATE KEY');
  expect(makeCertificate('vault-1.example', now).cert).not.toBe(cert);
});

test.skipIf(spawnSync('openssl', ['version']).status !== 0)('openssl reads it too', () => {
  const { cert } = makeCertificate('vault-1.example');
  const { stdout, status } = spawnSync('openssl', ['x509', '-noout', '-text'], {
    input: cert,
    encoding: 'utf8',
  });
  expect(status).toBe(0);
  expect(stdout).toContain('ecdsa-with-SHA256');
  expect(stdout).toContain('DNS:vault-1.example');
});
