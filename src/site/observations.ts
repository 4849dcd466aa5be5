/** What the plan wants to be looked at, held against what was recorded. */

import type { Attested } from '../facts/situation.js';
import { type Finding, finding } from '../findings/index.js';
import type { ObservationResult } from '../matrix/matrix.js';
import type { Endpoint, Plan } from '../plan/model.js';
import type { Attestation, Evidence } from '../sighting/types.js';
import { sameName, textAgrees } from './text-agrees.js';

export function judgeObservations(
  plan: Plan,
  evidence: readonly Evidence[],
): { readonly observations: ObservationResult[]; readonly findings: Finding[] } {
  const attestations = attestationsOf(evidence);
  const findings: Finding[] = [];
  const observations = plan.observe.map(({ subject, item, expect }): ObservationResult => {
    const about = plan.endpoints.some(({ id }) => id === subject) ? { about: [subject] } : {};
    const latest = latestOf(
      attestations.filter((one) => sameName(one.subject, subject) && sameName(one.item, item)),
    );
    if (latest === undefined) {
      findings.push(finding('observation-open', subject, { subject, item, expect }, about));
      return { subject, item, expect, verdict: 'open' };
    }
    const { saw, by, at } = latest;
    const agrees = textAgrees(saw, expect);
    if (!agrees)
      findings.push(
        finding(
          'observation-differs',
          subject,
          { subject, item, expect, saw, by, at },
          { ...about, evidence: [`${by}, ${at}: saw "${saw}"`] },
        ),
      );
    return { subject, item, expect, saw, by, at, verdict: agrees ? 'matches' : 'differs' };
  });
  return { observations, findings };
}

export function attestationsOf(evidence: readonly Evidence[]): Attestation[] {
  return evidence.flatMap(({ attestations }) => attestations);
}

const LIGHT = /link|light|lamp|led\b|lit\b|laser|power|port|cable|fibre|fiber/i;
const BAD =
  /\b(?:no|not|none|never|dark|off|out|dead|unlit|red|amber|orange|yellow|blink\w*|flash\w*|fault\w*|fail\w*|missing|broken|down|loose|unplugged)\b/i;
const NO_HARM = /\b(?:no|without) (?:fault|alarm|error|warning)s?\b/gi;

/**
 * What eyes said of the link or lamp of one endpoint: an attestation on the endpoint, or on its device naming the port. The plan's
 * expectation decides where there is one; otherwise a text that names nothing bad counts as good (common practice, no source).
 */
export function attestedLink(
  plan: Plan,
  endpoint: Endpoint,
  attestations: readonly Attestation[],
): Attested | undefined {
  const latest = latestOf(attestations.filter((one) => isAbout(endpoint, one.subject, one.item)));
  if (latest === undefined) return undefined;
  const planned = plan.observe.find(
    ({ subject, item }) => sameName(subject, latest.subject) && sameName(item, latest.item),
  );
  return {
    good:
      planned === undefined
        ? !BAD.test(latest.saw.replace(NO_HARM, ''))
        : textAgrees(latest.saw, planned.expect),
    text: `${latest.by} saw its ${latest.item} at ${latest.at}: "${latest.saw}"`,
    attestation: latest,
  };
}

export function observationPlanned(plan: Plan, endpoint: Endpoint): boolean {
  return plan.observe.some(({ subject, item }) => isAbout(endpoint, subject, item));
}

function isAbout(endpoint: Endpoint, subject: string, item: string): boolean {
  if (sameName(subject, endpoint.id)) return LIGHT.test(item);
  const box = endpoint.controller === undefined ? undefined : `${endpoint.device}/${endpoint.controller}`;
  const onBox = sameName(subject, endpoint.device) || (box !== undefined && sameName(subject, box));
  return onBox && namesPort(item, endpoint.port) && LIGHT.test(item.replace(endpoint.port, ''));
}

function namesPort(item: string, port: string): boolean {
  return item
    .toLowerCase()
    .split(/[\s,;:()]+/)
    .includes(port.toLowerCase());
}

function latestOf(attestations: readonly Attestation[]): Attestation | undefined {
  return [...attestations].sort(
    (a, b) => order(b.at, a.at) || order(JSON.stringify(a), JSON.stringify(b)),
  )[0];
}

function order(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
