/**
 * (plan, evidence) -> verdicts and findings. Pure: no clock, no network, no files (DESIGN 6).
 * evidence arranged -> situations -> the facts of each endpoint -> groups -> findings with their causes.
 */

import { defaultsSeen, indexDefaults } from '../defaults/defaults-seen.js';
import { judgeDefaults } from '../defaults/judge.js';
import { viewOf } from '../evidence/view.js';
import { attestationsOf, judgeObservations } from '../eyes/observations.js';
import { judgeCables } from '../facts/cabling.js';
import { type Fact, factResult } from '../facts/fact.js';
import { situationsOf } from '../facts/gather.js';
import { type Judged, judgeEndpoint } from '../facts/ledger.js';
import { judgeDisagreements } from '../facts/places-disagree.js';
import { judgeAtPowerOn } from '../facts/power-on.js';
import { endpointSightings } from '../facts/sightings.js';
import type { Situation } from '../facts/situation.js';
import { withCauses } from '../findings/causes.js';
import { boundFindings } from '../findings/ceiling.js';
import type { Finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import type { EndpointResult, Judgement } from '../matrix/matrix.js';
import type { Survey } from '../matrix/survey.js';
import type { Plan } from '../plan/model.js';
import { assessGroups, type EndpointLiveness } from '../redundancy/index.js';
import type { Evidence } from '../sighting/types.js';
import { judgeCertificates } from '../site/certificates.js';
import { judgeCredentials } from '../site/credentials.js';
import { judgeClocks, judgeStarted, judgeTrouble } from '../site/health.js';
import { judgeGateways, judgeOwnAddress, judgePlaces } from '../site/laptop.js';
import { judgeProxyArp } from '../site/proxy-arp.js';
import { judgeDrills } from '../site/pull-tests.js';
import { judgeStrangers, type MakerOf } from '../site/strangers.js';
import { judgeSwitches } from '../site/switches.js';
import { judgeVantageClocks } from '../site/vantage-clocks.js';
import { judgeFailedVantages } from '../site/vantages.js';
import { judgeSince } from '../survey/since.js';
import { pairsMeasured } from './pairs.js';
import { judgeSilentDevices } from './silent-devices.js';

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
  const cabling = judgeCables(view);
  const defaults = defaultsSeen(view, options.survey);
  const byEndpoint = indexDefaults(defaults);
  const attestations = attestationsOf(evidence);
  const situations = situationsOf(view, {
    cabling: cabling.perEndpoint,
    defaultAddresses: new Set(defaults.map(({ address }) => address)),
    allEvidence: evidence,
    survey: options.survey,
  });
  const judged = situations.map((situation) => ({
    situation,
    outcome:
      view.stage === 'power-on'
        ? judgeAtPowerOn(situation, byEndpoint, attestations)
        : judgeEndpoint(situation, attestations),
  }));
  const endpoints = judged.map(({ situation, outcome }) => endpointResult(situation, outcome));
  const verdicts = new Map(endpoints.map(({ id, verdict }) => [id, verdict]));
  const liveness = new Map(
    judged.map(
      ({ situation, outcome }) => [situation.endpoint.id, measuredPath(situation, outcome)] as const,
    ),
  );
  const groups = assessGroups(plan, liveness, pairsMeasured(view));
  const defaultPart = judgeDefaults(view, defaults, endpoints, options.makerOf);
  const strangers = judgeStrangers(view, options.makerOf);
  const observations = judgeObservations(plan, evidence);
  const clocks = judgeClocks(view);
  const seen = [
    ...judgePlaces(view),
    ...judgeOwnAddress(view),
    ...judgeFailedVantages(view),
    ...judgeVantageClocks(view),
    ...judgeDisagreements(view),
    ...judgeGateways(view),
    ...judgeSwitches(plan, (id) => verdicts.get(id)),
    ...(view.stage === 'power-on' ? [] : judgeSilentDevices(judged)),
    ...judged.flatMap(({ outcome }) => outcome.findings),
    ...cabling.findings,
    ...defaultPart.findings,
    ...judgeProxyArp(view),
    ...strangers.findings,
    ...clocks.findings,
    ...(clocks.laptopIsOff ? [] : judgeCertificates(view)),
    ...judgeStarted(view),
    ...judgeTrouble(view),
    ...judgeCredentials(view),
    ...judgeSince(view, options.survey),
    ...observations.findings,
    ...groups.findings,
    ...judgeDrills(evidence, groups.groups),
  ];
  // What the plan alone gives is bounded by the plan; what devices say is not.
  const findings = [...options.review, ...boundFindings(plan, orderFindings(once(seen)))];
  return {
    endpoints,
    defaults: defaultPart.results,
    strangers: strangers.strangers,
    groups: groups.groups,
    observations: observations.observations,
    findings: withCauses(orderFindings(once(findings)), {
      onAnotherSwitch: onAnotherSwitch(judged),
      noServiceWorks: noServiceWorks(judged),
    }),
  };
}

function endpointResult(situation: Situation, outcome: Judged): EndpointResult {
  const { endpoint, network } = situation;
  return {
    id: endpoint.id,
    device: endpoint.device,
    controller: endpoint.controller ?? '',
    port: endpoint.port,
    role: endpoint.role,
    network: network?.name ?? endpoint.network ?? '',
    address: endpoint.address ?? '',
    group: endpoint.group ?? '',
    verdict: outcome.verdict,
    reasons: outcome.reasons,
    sightings: endpointSightings(situation),
    facts: outcome.facts.map(factResult),
    differences: outcome.differences,
  };
}

function measuredPath({ cabling }: Situation, { liveness, facts }: Judged): EndpointLiveness {
  const isMeasured = (kind: Fact['fact']): boolean =>
    facts.some(({ fact, state, by }) => fact === kind && state === 'matches' && by === 'measured');
  return {
    ...liveness,
    measured: {
      switch: cabling?.measuredSwitch,
      switches: cabling?.switches,
      network: cabling?.measuredFabric,
      controller: isMeasured('box'),
      answered: isMeasured('address'),
    },
    ...(cabling?.measuredSpeedMbps === undefined ? {} : { measuredSpeedMbps: cabling.measuredSpeedMbps }),
  };
}

/** Endpoints that a forwarding table or LLDP shows on a switch that the plan has not for them. */
function onAnotherSwitch(judged: readonly { readonly situation: Situation }[]): ReadonlySet<string> {
  return new Set(
    judged.flatMap(({ situation: { endpoint, cabling } }) =>
      endpoint.switch !== undefined &&
      cabling?.cabling !== undefined &&
      cabling.cabling.switch !== endpoint.switch
        ? [endpoint.id]
        : [],
    ),
  );
}

/** Endpoints that are there, and of whose planned services none works. */
function noServiceWorks(judged: readonly { readonly outcome: Judged; readonly situation: Situation }[]) {
  return new Set(
    judged.flatMap(({ situation, outcome }) => {
      const services = outcome.facts.filter(({ fact }) => fact === 'service');
      return services.length > 1 && services.every(({ state }) => state !== 'matches')
        ? [situation.endpoint.id]
        : [];
    }),
  );
}

/** The same finding from two sides (a review carried along, a swap) stands once. */
function once(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return findings.filter(({ code, subject, message }) => {
    const key = JSON.stringify([code, subject, message]);
    return !seen.has(key) && seen.add(key);
  });
}
