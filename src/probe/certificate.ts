/** What a certificate says of a device. Nothing is verified here: the plan, not an authority, says who it should be. */
import { X509Certificate } from 'node:crypto';
import type { CertificateIdentity } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';

/** Names kept of one certificate. */
const NAME_LIMIT = 32;

/** `der`: the peer's own certificate. Undefined where it is not one that can be read. */
export function certificateIdentity(der: Uint8Array, port: number): CertificateIdentity | undefined {
  try {
    const certificate = new X509Certificate(der);
    return {
      port,
      subject: nameText(certificate.subject),
      issuer: nameText(certificate.issuer),
      altNames: altNames(certificate.subjectAltName),
      fingerprint256: certificate.fingerprint256.toLowerCase(),
      validFrom: isoDate(certificate.validFrom),
      validTo: isoDate(certificate.validTo),
      selfSigned: isSelfSigned(certificate),
    };
  } catch {
    return undefined;
  }
}

/** Node gives one `CN=…` a line; RFC 4514 writes them with commas. */
function nameText(name: string | undefined): string {
  return cleanText((name ?? '').split('\n').join(', '));
}

/** `DNS:vault-1.example, IP Address:192.0.2.10` -> the bare names; quoted ones lose their quotes. */
function altNames(text: string | undefined): readonly string[] {
  if (text === undefined) return [];
  const parts = text.match(/[A-Za-z ]+:(?:"(?:[^"\\]|\\.)*"|[^,]*)/g) ?? [];
  return parts
    .slice(0, NAME_LIMIT)
    .map((part) => cleanText(part.replace(/^[^:]*:/, '').replace(/^"|"$/g, '')));
}

/** Node prints `Jan  1 00:00:00 2026 GMT`; some devices carry dates that are none. */
function isoDate(text: string): string {
  const date = new Date(text);
  return Number.isNaN(date.getTime()) ? cleanText(text, 40) : date.toISOString();
}

function isSelfSigned(certificate: X509Certificate): boolean {
  if (certificate.subject !== certificate.issuer) return false;
  try {
    return certificate.verify(certificate.publicKey);
  } catch {
    // A key of a kind this system cannot check; the equal names are all there is to go by.
    return true;
  }
}
