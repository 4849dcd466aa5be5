/**
 * Fact `echo`: an ICMP echo is answered. The plan states it where nothing else is to be asked of the address; beside services a reply is
 * kept as proven, and its absence is said and no fault: many devices answer none (DESIGN 6, last row of the table).
 */
import { finding } from '../findings/index.js';
import { differing, type Fact, matching, open, type Stated } from './fact.js';
import { ownHostPort } from './own-host-port.js';
import type { Answerer } from './service.js';
import { type Situation, seenBy } from './situation.js';

export type EchoCause = 'no-echo' | 'not-asked' | 'lossy' | 'other-device' | 'shared-address';

/** A device that is busy or limits its echoes may lose some: it is said. From this share on, the path is not fit for use (common practice, no source). */
const LOSS_TO_FIX = 0.5;
/** Fewer echoes than this tell no share. */
const TELLING_ECHOES = 10;

export function echoFact(s: Situation, answerer: Answerer): Fact | undefined {
  const { endpoint, best } = s;
  if (best === undefined || (answerer !== 'planned' && answerer !== 'other-device')) return undefined;
  // A host asks itself for no echo, and it is there: it was looked from.
  if (ownHostPort(s) !== undefined) return undefined;
  const { icmp, address } = best.sighting;
  const vantage = best.evidence.vantage.name;
  const alone = endpoint.services.length === 0;
  const stated: Stated = { fact: 'echo', planned: 'replied' };
  if (answerer === 'other-device')
    return alone
      ? open(stated, 'other-device', 'what answers there is another device', { vantage })
      : undefined;
  switch (icmp.outcome) {
    case 'replied':
      return replied(s, stated, icmp);
    case 'not-run':
      return alone
        ? open(stated, 'not-asked', `echo was not asked: ${icmp.reason}`, {
            vantage,
            mend: icmp.mend,
            ...(provenByMac(s) || best.sighting.snmp.outcome === 'replied' ? {} : { path: 'open' as const }),
          })
        : undefined;
    default: {
      if (!alone || best.sighting.snmp.outcome === 'replied') return undefined;
      const macs = s.claimed.claimants.map(({ mac }) => mac);
      return differing(
        stated,
        'no-echo',
        'the device is there, but does not answer an echo request, and no other service is planned',
        {
          vantage,
          measured: icmp.outcome,
          evidence: [seenBy(s, `ICMP echo`)],
          ...(provenByMac(s) ? {} : { path: 'open' as const }),
          findings: [
            finding(
              'no-echo',
              endpoint.id,
              { endpoint: endpoint.id, address, macs },
              {
                about: [endpoint.id],
                evidence: s.claimed.claimants.flatMap(({ evidence }) => evidence),
                ...(provenByMac(s) ? { severity: 'note' as const } : {}),
              },
            ),
          ],
        },
      );
    }
  }
}

/** With no service planned, the planned MAC that claims the address is enough for a path (DESIGN 6). */
function provenByMac({ endpoint, claimed }: Situation): boolean {
  return endpoint.mac !== undefined && claimed.claimants.some(({ mac }) => mac === endpoint.mac);
}

function replied(
  s: Situation,
  stated: Stated,
  { rttMs, sent, received }: { readonly rttMs: number; readonly sent: number; readonly received: number },
): Fact {
  const vantage = s.best?.evidence.vantage.name;
  const lost = sent - received;
  const measured = lost > 0 ? `${rttMs} ms, ${received} of ${sent}` : `${rttMs} ms`;
  if (lost <= 0 || sent < TELLING_ECHOES)
    return matching(stated, `echo replied in ${rttMs} ms${lost > 0 ? `, ${received} of ${sent}` : ''}`, {
      vantage,
      measured,
    });
  const evidence = [seenBy(s, `${received} of ${sent} echoes were answered`)];
  const facts = { endpoint: s.endpoint.id, address: s.endpoint.address ?? '', sent, received };
  const bad = lost / sent >= LOSS_TO_FIX;
  return matching(stated, `echo replied in ${rttMs} ms, ${lost} of ${sent} were lost`, {
    vantage,
    measured,
    cause: 'lossy',
    evidence,
    findings: [
      finding('packets-lost', s.endpoint.id, facts, {
        about: [s.endpoint.id],
        evidence,
        ...(bad ? {} : { severity: 'note' as const }),
      }),
    ],
  });
}
