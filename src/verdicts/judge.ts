/** (plan, evidence) -> verdicts and findings. Pure: no clock, no network, no files (DESIGN 6). */

import { judgeDefaults } from '../defaults/judge.js';
import { indexDefaults, lookAtDefaults } from '../defaults/look.js';
import { judgeDrills } from '../drill/judge.js';
import { viewOf } from '../evidence/view.js';
import { type EndpointCabling, judgeCabling } from '../facts/cabling.js';
import { differencesOf } from '../facts/differences.js';
import type { EndpointFacts, Liveness, RowOutcome } from '../facts/facts.js';
import { gatherFacts } from '../facts/gather.js';
import { powerOnOutcome } from '../facts/power-on.js';
import { remarksOn } from '../facts/remarks.js';
import { endpointSightings } from '../facts/sightings.js';
import { outcomeOf } from '../facts/table.js';
import type { Finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import type { EndpointResult, Judgement } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { assessGroups } from '../redundancy/index.js';
import type { Evidence } from '../sighting/types.js';
import { judgeCertificates } from '../site/certificates.js';
import { judgeCredentials } from '../site/credentials.js';
import { judgeObservations } from '../site/observations.js';
import { judgeProxyArp } from '../site/proxy-arp.js';
import { judgeStrangers, type MakerOf } from '../site/strangers.js';
import { judgeSince } from '../survey/since.js';
import type { Survey } from '../survey/types.js';

export interface JudgeOptions {
  /** `check --since survey.json`. */
  readonly survey?: Survey | undefined;
  /** Findings of the plan's review, carried into the result. */
  readonly review: readonly Finding[];
  /** Registered maker of a MAC's prefix, as words for a sentence. */
  readonly makerOf?: MakerOf | undefined;
}

export function judge(plan: Plan, evidence: readonly Evidence[], options: JudgeOptions): Judgement {
  const view = viewOf(plan, evidence);
  const cabling = judgeCabling(plan, view.evidence);
  const defaults = lookAtDefaults(view);
  const byEndpoint = indexDefaults(defaults);
  const facts = gatherFacts(view, {
    cabling: cabling.perEndpoint,
    defaultAddresses: new Set(defaults.map(({ address }) => address)),
    allEvidence: evidence,
    survey: options.survey,
  });
  const judged = facts.map((one) => ({
    facts: one,
    outcome: view.stage === 'power-on' ? powerOnOutcome(one, byEndpoint) : outcomeOf(one),
  }));
  const endpoints = judged.map(({ facts: one, outcome }) => endpointResult(one, outcome));
  const liveness = new Map(
    judged.map(
      ({ facts: one, outcome }) => [one.endpoint.id, measured(outcome.liveness, one.cabling)] as const,
    ),
  );
  const groups = assessGroups(plan, liveness);
  const defaultPart = judgeDefaults(view, defaults, endpoints, options.makerOf);
  const strangers = judgeStrangers(view, options.makerOf);
  const observations = judgeObservations(plan, evidence);
  const findings = [
    ...options.review,
    ...judged.flatMap(({ outcome }) => outcome.findings),
    ...facts.flatMap((one) => one.cabling?.findings ?? []),
    ...cabling.findings,
    ...defaultPart.findings,
    ...judgeProxyArp(view),
    ...strangers.findings,
    ...judgeCertificates(view),
    ...judgeCredentials(view),
    ...judgeSince(view, options.survey),
    ...observations.findings,
    ...groups.findings,
    ...judgeDrills(evidence, groups.groups),
  ];
  return {
    endpoints,
    defaults: defaultPart.results,
    strangers: strangers.strangers,
    groups: groups.groups,
    observations: observations.observations,
    findings: orderFindings(once(findings)),
  };
}

function endpointResult(facts: EndpointFacts, outcome: RowOutcome): EndpointResult {
  const { endpoint, network } = facts;
  const { verdict, reasons } = outcome;
  return {
    id: endpoint.id,
    device: endpoint.device,
    controller: endpoint.controller ?? '',
    port: endpoint.port,
    role: endpoint.role,
    network: network?.name ?? endpoint.network ?? '',
    address: endpoint.address ?? '',
    group: endpoint.group ?? '',
    verdict,
    reasons: [...new Set([...reasons, ...(facts.cabling?.reasons ?? []), ...remarksOn(facts)])],
    sightings: endpointSightings(facts),
    facts: [],
    differences: [
      ...(outcome.differences ?? (verdict === 'differs' ? differencesOf(facts) : [])),
      ...(facts.cabling?.differences ?? []),
    ],
  };
}

function measured(liveness: Liveness, cabling: EndpointCabling | undefined): Liveness {
  return {
    ...liveness,
    ...(cabling?.measuredSwitch === undefined ? {} : { measuredSwitch: cabling.measuredSwitch }),
    ...(cabling?.measuredSpeedMbps === undefined ? {} : { measuredSpeedMbps: cabling.measuredSpeedMbps }),
  };
}

/** The same finding from two sides (a review carried along, a swap) stands once. */
function once(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return findings.filter(({ code, subject, message }) => {
    const key = JSON.stringify([code, subject, message]);
    return !seen.has(key) && seen.add(key);
  });
}
