import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { indexOf } from '../plan/plan-index.js';
import { type EvidenceLine, seenLine, toldLine } from '../sighting/evidence-line.js';
import { naturalOrder } from '../text/sentence.js';

/** Credentials of the plan whose secret was not at hand when a device was asked, one finding for each. */
export function judgeCredentials(view: View): Finding[] {
  const found = new Map<
    string,
    { endpoints: Set<string>; why: string; evidence: Map<string, EvidenceLine> }
  >();
  for (const endpoint of view.plan.endpoints) {
    const credential = endpoint.snmp ?? indexOf(view.plan).device(endpoint.device)?.snmp;
    if (credential === undefined || endpoint.address === undefined) continue;
    const looks = view.seen(endpoint.address);
    // Another look, by somebody who had the secret, is as good.
    if (looks.some(({ sighting }) => sighting.snmp.outcome === 'replied')) continue;
    for (const { sighting, evidence } of looks) {
      const { snmp } = sighting;
      if (snmp.outcome !== 'not-run' || snmp.cause !== 'secret-missing') continue;
      const why = snmp.reason;
      const entry = found.get(credential) ?? { endpoints: new Set(), why, evidence: new Map() };
      entry.endpoints.add(endpoint.id);
      entry.evidence.set(`${evidence.vantage.name} ${evidence.startedAt}`, toldLine(seenLine(evidence, why)));
      found.set(credential, entry);
    }
  }
  return [...found].map(([credential, { endpoints, why, evidence }]) => {
    const about = [...endpoints].sort(naturalOrder);
    return finding(
      'credential-not-given',
      credential,
      { credential, why, endpoints: about },
      { about, evidence: [...evidence.values()] },
    );
  });
}
