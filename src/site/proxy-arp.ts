import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { seenLine } from '../sighting/evidence-line.js';

/** One finding for each MAC that answers for everything on a network. */
export function judgeProxyArp(view: View): Finding[] {
  const found = new Map<string, Finding>();
  for (const evidence of view.evidence) {
    for (const check of evidence.proxyArp) {
      const key = `${check.network} ${check.mac}`;
      if (found.has(key) || !check.answeredBy.includes(check.mac)) continue;
      const claimed = view.plan.endpoints.filter(
        ({ address }) => address !== undefined && claims(view, address, check.mac),
      );
      const gateway = view.plan.networks.find(({ name }) => name === check.network)?.gateway;
      found.set(
        key,
        finding(
          'proxy-arp',
          check.network,
          {
            mac: check.mac,
            network: check.network,
            asked: check.askedAddress,
            count: claimed.length,
            gateway: gateway !== undefined && claims(view, gateway, check.mac) ? gateway : undefined,
          },
          {
            about: claimed.map(({ id }) => id),
            evidence: [
              seenLine(
                evidence,
                `asked for ${check.askedAddress}, which nobody planned; answered by ${check.answeredBy.join(', ')}`,
              ),
            ],
          },
        ),
      );
    }
  }
  return [...found.values()];
}

function claims(view: View, address: string, mac: string): boolean {
  return view
    .seen(address)
    .some(({ sighting: { presence } }) => presence.outcome === 'claimed' && presence.macs.includes(mac));
}
