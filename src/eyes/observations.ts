/** What the plan wants to be looked at, held against what was recorded. */

import { type Finding, finding } from '../findings/index.js';
import type { ObservationResult } from '../matrix/matrix.js';
import type { Endpoint, Plan } from '../plan/model.js';
import type { Attestation, Evidence } from '../sighting/types.js';
import { aboutSubjects } from './by-subject.js';
import { agreesWith, isOtherFact, LIT, latestOf } from './eyes.js';
import { sameName } from './text-agrees.js';

/** What eyes said of an endpoint's link or lamp. */
export interface Attested {
  readonly good: boolean;
  readonly text: string;
  readonly attestation: Attestation;
}

export function judgeObservations(
  plan: Plan,
  evidence: readonly Evidence[],
): { readonly observations: ObservationResult[]; readonly findings: Finding[] } {
  const attestations = attestationsOf(evidence);
  const findings: Finding[] = [];
  const ids = new Set(plan.endpoints.map(({ id }) => id));
  const observations = plan.observe.map(({ subject, item, expect, when }): ObservationResult => {
    const about = ids.has(subject) ? { about: [subject] } : {};
    const latest = latestOf(aboutSubjects(attestations, [subject]).filter((one) => sameName(one.item, item)));
    const asked = { subject, item, expect, ...(when === undefined ? {} : { when }) };
    if (latest === undefined) {
      findings.push(finding('observation-open', subject, { subject, item, expect }, about));
      return { ...asked, verdict: 'open' };
    }
    const { saw, by, at } = latest;
    const agrees = agreesWith(latest, expect);
    const evidenceLine = [{ who: by, at, text: `saw "${saw}"` }];
    if (agrees === undefined)
      findings.push(
        finding(
          'observation-open',
          subject,
          { subject, item, expect, saw, by },
          { ...about, evidence: evidenceLine },
        ),
      );
    if (agrees === false)
      findings.push(
        finding(
          'observation-differs',
          subject,
          { subject, item, expect, saw, by, at },
          { ...about, evidence: evidenceLine },
        ),
      );
    return {
      ...asked,
      saw,
      by,
      at,
      verdict: agrees === undefined ? 'open' : agrees ? 'matches' : 'differs',
    };
  });
  return { observations: [...observations, ...extrasIn(attestations)], findings };
}

/** What somebody wanted in the record beyond what the plan asks for. */
function extrasIn(attestations: readonly Attestation[]): ObservationResult[] {
  const extras = attestations.filter(({ extra }) => extra === true);
  const latest = new Map<string, Attestation>();
  for (const one of extras) {
    const key = JSON.stringify([one.subject.toLowerCase(), one.item.toLowerCase()]);
    const before = latest.get(key);
    latest.set(key, (before === undefined ? one : latestOf([before, one])) ?? one);
  }
  return [...latest.values()].map(({ subject, item, saw, by, at, agrees }) => ({
    subject,
    item,
    expect: '',
    saw,
    by,
    at,
    verdict: agrees === false ? 'differs' : 'matches',
    extra: true,
  }));
}

export function attestationsOf(evidence: readonly Evidence[]): Attestation[] {
  return evidence.flatMap(({ attestations }) => attestations);
}

const LIGHT = /link|light|lamp|led\b|lit\b|laser|power|port|cable|fibre|fiber/i;

/** The item is a lamp or a light, and not a label or another fact. */
export function isLightWord(item: string): boolean {
  return LIGHT.test(item) && !isOtherFact(item);
}

/**
 * What eyes said of the link or lamp of one endpoint: an attestation on the endpoint, or on its device naming the port. The plan's
 * expectation decides where there is one; otherwise it has to be lit. Undefined where nobody looked, or the words cannot be told.
 */
export function attestedLink(
  plan: Plan,
  endpoint: Endpoint,
  attestations: readonly Attestation[],
): Attested | undefined {
  const latest = latestOf(
    aboutSubjects(attestations, placesOf(endpoint)).filter((one) =>
      isAboutLight(endpoint, one.subject, one.item),
    ),
  );
  if (latest === undefined) return undefined;
  const planned = aboutSubjects(plan.observe, [latest.subject]).find(({ item }) =>
    sameName(item, latest.item),
  );
  const good = agreesWith(latest, planned?.expect ?? LIT);
  if (good === undefined) return undefined;
  return {
    good,
    text: `${latest.by} saw its ${latest.item} at ${latest.at}: "${latest.saw}"`,
    attestation: latest,
  };
}

export function observationPlanned(plan: Plan, endpoint: Endpoint): boolean {
  return aboutSubjects(plan.observe, placesOf(endpoint)).some(({ subject, item }) =>
    isAboutLight(endpoint, subject, item),
  );
}

/** Whether an item of a subject is the link or lamp of this endpoint. */
export function isAboutLight(endpoint: Endpoint, subject: string, item: string): boolean {
  if (isOtherFact(item)) return false;
  const [id, ...around] = placesOf(endpoint);
  if (sameName(subject, id)) return LIGHT.test(item);
  return (
    around.some((place) => sameName(subject, place)) &&
    namesPort(item, endpoint.port) &&
    LIGHT.test(item.replace(endpoint.port, ''))
  );
}

/** Subjects under which an endpoint can be looked at: itself, its controller, its device. */
function placesOf({ id, device, controller }: Endpoint): [string, ...string[]] {
  return [id, device, ...(controller === undefined ? [] : [`${device}/${controller}`])];
}

function namesPort(item: string, port: string): boolean {
  return item
    .toLowerCase()
    .split(/[\s,;:()]+/)
    .includes(port.toLowerCase());
}
