/** A certificate for the demo's web pages, made at start so that no key is kept (X.509 version 3, RFC 5280 §4.1; ECDSA on P-256). */
import { generateKeyPairSync, randomBytes, sign } from 'node:crypto';
import { bits, encode, integer, list, oid, text, time, UNIVERSAL } from './der.js';

const DAY_MS = 86_400_000;
/** RFC 5758 §3.2. */
const ECDSA_WITH_SHA256 = list(oid('1.2.840.10045.4.3.2'));
/** RFC 5280 appendix A.1. */
const COMMON_NAME = oid('2.5.4.3');
/** RFC 5280 §4.2.1.6; a dNSName is the implicit tag 2. */
const ALTERNATIVE_NAMES = oid('2.5.29.17');
const DNS_NAME = 0x82;
/** Explicit tags of the version and of the extensions. */
const VERSION = 0xa0;
const EXTENSIONS = 0xa3;
const VERSION_3 = 2;

/** `name` becomes the common name and the one alternative name. PEM. */
export function makeCertificate(
  name: string,
  now = Date.now(),
): { readonly key: string; readonly cert: string } {
  const { privateKey, publicKey } = generateKeyPairSync('ec', { namedCurve: 'prime256v1' });
  const named = list(encode(UNIVERSAL.set, list(COMMON_NAME, text(name))));
  const names = list(encode(DNS_NAME, new TextEncoder().encode(name)));
  const body = list(
    encode(VERSION, integer(Uint8Array.of(VERSION_3))),
    integer(randomBytes(16)),
    ECDSA_WITH_SHA256,
    named,
    list(time(new Date(now - DAY_MS)), time(new Date(now + 90 * DAY_MS))),
    named,
    new Uint8Array(publicKey.export({ type: 'spki', format: 'der' })),
    encode(EXTENSIONS, list(list(ALTERNATIVE_NAMES, encode(UNIVERSAL.octets, names)))),
  );
  const certificate = list(body, ECDSA_WITH_SHA256, bits(sign('sha256', body, privateKey)));
  const lines =
    Buffer.from(certificate)
      .toString('base64')
      .match(/.{1,64}/g) ?? [];
  return {
    key: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
    cert: `-----BEGIN CERTIFICATE-----\n${lines.join('\n')}\n-----END CERTIFICATE-----\n`,
  };
}
