/** What devices say of their own state beside everything planned: clocks, a start a moment ago, errors of their own. */

import type { Seen, View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { seenLine } from '../sighting/evidence-line.js';
import { naturalOrder } from '../text/sentence.js';

/** Certificates and SNMPv3 put up with less than this (RFC 3414 §2.2.3: 150 s; Kerberos: five minutes, common practice). */
const CLOCK_SECONDS = 300;
/** From this many devices that agree on, the laptop is the one that is wrong. */
const AGREEING = 3;
/** Services may start late for this long (common practice, no source). */
const STARTED_MINUTES = 10;

/** `laptopIsOff`: all devices agree that the laptop is the one; then nothing is said of the dates of certificates. */
export function judgeClocks(view: View): { readonly findings: Finding[]; readonly laptopIsOff: boolean } {
  const read = bestLooks(view).flatMap(({ endpoint, look }) => {
    const { https, http } = look.sighting.identity;
    const aheadSeconds = https?.clockAheadSeconds ?? http?.clockAheadSeconds;
    return aheadSeconds === undefined
      ? []
      : [{ endpoint: endpoint.id, device: endpoint.device, aheadSeconds, look }];
  });
  const off = read.filter(({ aheadSeconds }) => Math.abs(aheadSeconds) > CLOCK_SECONDS);
  if (off.length === 0) return { findings: [], laptopIsOff: false };
  const vantage = off[0]?.look.evidence.vantage.name ?? '';
  const values = off.map(({ aheadSeconds }) => aheadSeconds);
  const devices = new Set(off.map(({ device }) => device));
  const laptop =
    off.length === read.length &&
    devices.size >= AGREEING &&
    Math.max(...values) - Math.min(...values) <= CLOCK_SECONDS;
  const facts = off.map(({ endpoint, aheadSeconds }) => ({ endpoint, aheadSeconds }));
  const findings = [
    finding(
      'clock-differs',
      vantage,
      { devices: facts, laptop, vantage },
      {
        about: off.map(({ endpoint }) => endpoint),
        evidence: off.map(({ endpoint, aheadSeconds, look }) =>
          seenLine(look.evidence, `${endpoint} is ${aheadSeconds} s ahead of the laptop`),
        ),
        ...(laptop ? { severity: 'fix' as const } : {}),
      },
    ),
  ];
  return { findings, laptopIsOff: laptop };
}

export function judgeStarted(view: View): Finding[] {
  const young = bestLooks(view).filter(({ look }) => {
    const ticks = look.sighting.identity.snmp?.upTimeTicks;
    return ticks !== undefined && ticks < STARTED_MINUTES * 60 * 100;
  });
  if (young.length === 0) return [];
  const endpoints = young.map(({ endpoint }) => endpoint.id).sort(naturalOrder);
  return [
    finding(
      'recently-started',
      young[0]?.look.evidence.vantage.name ?? '',
      { endpoints, minutes: STARTED_MINUTES },
      {
        about: endpoints,
        evidence: young.map(({ endpoint, look }) =>
          seenLine(
            look.evidence,
            `${endpoint.id} says sysUpTime ${Math.round((look.sighting.identity.snmp?.upTimeTicks ?? 0) / 100)} s`,
          ),
        ),
      },
    ),
  ];
}

export function judgeTrouble(view: View): Finding[] {
  return bestLooks(view).flatMap(({ endpoint, look }) =>
    look.sighting.proofs
      .filter((proof) => proof.outcome === 'proven' && proof.cause === 'device-trouble')
      .slice(0, 1)
      .map(({ service, detail }) =>
        finding(
          'device-in-trouble',
          endpoint.id,
          { endpoint: endpoint.id, service, detail: detail ?? 'no more is told' },
          {
            about: [endpoint.id],
            evidence: [seenLine(look.evidence, `${service}: ${detail ?? ''}`)],
          },
        ),
      ),
  );
}

function bestLooks(view: View): { readonly endpoint: Endpoint; readonly look: Seen }[] {
  return view.plan.endpoints.flatMap((endpoint) => {
    const look = endpoint.address === undefined ? undefined : view.seen(endpoint.address)[0];
    return look === undefined ? [] : [{ endpoint, look }];
  });
}
