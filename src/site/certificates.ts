import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { timeWords } from '../text/time.js';

/** Certificates whose dates do not cover the start of the run, one finding for each certificate. */
export function judgeCertificates(view: View): Finding[] {
  const found = new Map<string, { endpoints: Set<string>; facts: Parameters<typeof makeFinding>[1] }>();
  for (const endpoint of view.plan.endpoints) {
    if (endpoint.address === undefined) continue;
    const look = view
      .seen(endpoint.address)
      .find(({ sighting }) => sighting.identity.certificate !== undefined);
    const certificate = look?.sighting.identity.certificate;
    if (look === undefined || certificate === undefined) continue;
    const how = outOfDates(certificate.validFrom, certificate.validTo, look.evidence.startedAt);
    if (how === undefined) continue;
    const key = `${certificate.fingerprint256} ${how}`;
    const entry = found.get(key) ?? {
      endpoints: new Set<string>(),
      facts: {
        ...certificate,
        at: look.evidence.startedAt,
        how,
        zoneMinutes: look.evidence.vantage.zoneMinutes,
      },
    };
    entry.endpoints.add(endpoint.id);
    found.set(key, entry);
  }
  return [...found.values()].map(({ endpoints, facts }) => makeFinding([...endpoints].sort(), facts));
}

function makeFinding(
  endpoints: readonly string[],
  facts: {
    subject: string;
    validFrom: string;
    validTo: string;
    fingerprint256: string;
    at: string;
    how: 'expired' | 'early';
    zoneMinutes: number | undefined;
  },
): Finding {
  const { subject, validFrom, validTo, fingerprint256, at, how, zoneMinutes } = facts;
  return finding(
    'certificate-expired',
    endpoints[0] ?? '',
    { endpoints, subject, validFrom, validTo, at, how, zoneMinutes },
    {
      about: endpoints,
      evidence: [
        `certificate ${fingerprint256}: valid from ${timeWords(validFrom, zoneMinutes)} to ${timeWords(validTo, zoneMinutes)}`,
      ],
      // The laptop's own clock may be the one that is wrong.
      ...(how === 'early' ? { severity: 'note' as const } : {}),
    },
  );
}

/** RFC 5280 §4.1.2.5: valid from notBefore to notAfter, both included. Dates that cannot be read are not judged. */
function outOfDates(validFrom: string, validTo: string, at: string): 'expired' | 'early' | undefined {
  const now = Date.parse(at);
  if (now > Date.parse(validTo)) return 'expired';
  return now < Date.parse(validFrom) ? 'early' : undefined;
}
