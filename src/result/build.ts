/** (run, plan, evidence, judgement) -> matrix.json (DESIGN 7). Nothing secret goes in: the plan's credentials are left out whole. */

import type { Finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import type { EndpointResult, Judgement, Matrix, NetworkCapacity } from '../matrix/matrix.js';
import type { Survey } from '../matrix/survey.js';
import type { Plan } from '../plan/model.js';
import type { AddressSighting, Evidence } from '../sighting/types.js';
import { equipmentOf } from './equipment.js';
import { outcomeOf } from './outcome.js';
import { summarise } from './summary.js';

export interface MatrixParts {
  /** Names the run, and the version of the program. */
  readonly run: {
    readonly id: string;
    readonly version: string;
    readonly only?: readonly string[] | undefined;
    /** Who looked. */
    readonly by?: string | undefined;
    /** Where the caller knows better than the evidence does. */
    readonly startedAt?: string | undefined;
    readonly finishedAt?: string | undefined;
    readonly complete?: boolean | undefined;
    readonly stage?: Evidence['stage'] | undefined;
  };
  readonly plan: Plan;
  readonly evidence: readonly Evidence[];
  /** The judge's; findings of the review are in it. */
  readonly judgement: Judgement;
  /** Findings of the review, in case the judge was not given them. */
  readonly review?: readonly Finding[] | undefined;
  readonly capacity?: readonly NetworkCapacity[] | undefined;
  /** The survey that the judge was given. */
  readonly survey?: Survey | undefined;
}

export function buildMatrix({
  run,
  plan,
  evidence,
  judgement,
  review = [],
  capacity = [],
  survey,
}: MatrixParts): Matrix {
  const findings = withReview(judgement.findings, review);
  const { snmp: _credentials, ...model } = plan;
  const only = run.only ?? limitOf(evidence);
  const matrix: Matrix = {
    format: 'matchmark.matrix/1',
    run: {
      id: run.id,
      startedAt: run.startedAt ?? first(evidence.map(({ startedAt }) => startedAt)),
      finishedAt: run.finishedAt ?? last(evidence.map(({ finishedAt }) => finishedAt)),
      complete: run.complete ?? (evidence.length > 0 && evidence.every(({ complete }) => complete)),
      stage: run.stage ?? stageOf(evidence),
      version: run.version,
      ...(only === undefined ? {} : { only }),
      ...(run.by === undefined ? {} : { by: run.by }),
    },
    plan: {
      site: plan.site.name,
      ...(plan.site.reference === undefined ? {} : { reference: plan.site.reference }),
      files: plan.files,
      model,
    },
    vantages: vantagesOf(evidence),
    ...judgement,
    findings,
    equipment: equipmentOf(plan, judgement.endpoints),
    capacity,
    summary: summarise(judgement.endpoints, findings),
    ...(survey === undefined ? {} : { survey }),
    evidence: evidence.map((one) => withoutRepeats(one, judgement.endpoints)),
  };
  return { ...matrix, outcome: outcomeOf({ ...matrix, evidence }) };
}

/**
 * The evidence of a result, whole again: sightings of planned addresses stand at the endpoints in the file, everything else in
 * `evidence`. Inverse of what buildMatrix leaves out, so that a result can be judged again (combine, attest, report).
 */
export function evidenceOf(matrix: Matrix): Evidence[] {
  const sightings = new Map<string, AddressSighting[]>();
  const seen = new Set<string>();
  for (const endpoint of matrix.endpoints) {
    for (const one of endpoint.sightings) {
      const key = `${one.vantage}\n${one.at ?? ''}`;
      if (endpoint.address === '' || one.at === undefined || seen.has(`${key}\n${endpoint.address}`))
        continue;
      seen.add(`${key}\n${endpoint.address}`);
      const { vantage: _vantage, at: _at, macs: _macs, link: _link, cabling: _cabling, ...rest } = one;
      sightings.set(key, [
        ...(sightings.get(key) ?? []),
        { ...rest, address: endpoint.address, own: rest.own ?? false },
      ]);
    }
  }
  return matrix.evidence.map((one) => ({
    ...one,
    sightings: [...(sightings.get(keyOf(one)) ?? []), ...one.sightings],
  }));
}

function withoutRepeats(evidence: Evidence, endpoints: readonly EndpointResult[]): Evidence {
  const key = keyOf(evidence);
  const stands = new Set(
    endpoints
      .filter(({ sightings }) => sightings.some(({ vantage, at }) => `${vantage}\n${at ?? ''}` === key))
      .map(({ address }) => address),
  );
  return { ...evidence, sightings: evidence.sightings.filter(({ address }) => !stands.has(address)) };
}

function withReview(findings: readonly Finding[], review: readonly Finding[]): readonly Finding[] {
  const absent = review.filter(
    ({ code, subject, message }) =>
      !findings.some((one) => one.code === code && one.subject === subject && one.message === message),
  );
  return absent.length === 0 ? findings : orderFindings([...findings, ...absent]);
}

function keyOf({ vantage, startedAt }: Evidence): string {
  return `${vantage.name}\n${startedAt}`;
}

function vantagesOf(evidence: readonly Evidence[]): Matrix['vantages'] {
  const looked = evidence.filter(({ failed }) => failed === undefined);
  const byName = new Map(
    looked.map(({ vantage: { name, platform, interfaces } }) => [
      name,
      {
        name,
        platform,
        interfaces: interfaces.map((one) => ({ name: one.name, mac: one.mac, addresses: one.addresses })),
      },
    ]),
  );
  return [...byName.values()];
}

/** Devices that any run was limited to; undefined where one run looked at all. */
function limitOf(evidence: readonly Evidence[]): string[] | undefined {
  const limits = evidence.map(({ only }) => only);
  if (limits.length === 0 || limits.includes(undefined)) return undefined;
  return [...new Set(limits.flatMap((only) => only ?? []))].sort();
}

function stageOf(evidence: readonly Evidence[]): Evidence['stage'] {
  return evidence.some(({ stage }) => stage === 'configured')
    ? 'configured'
    : (evidence[0]?.stage ?? 'configured');
}

function first(times: readonly string[]): string {
  return [...times].sort()[0] ?? '';
}

function last(times: readonly string[]): string {
  return [...times].sort().at(-1) ?? '';
}
