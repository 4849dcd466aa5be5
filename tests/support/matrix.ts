/** Hand-made results for tests of everything that reads a Matrix. Invented scenario; documentation addresses only. */
import type { Finding } from '../../src/findings/index.js';
import type {
  Difference,
  EndpointResult,
  EndpointSighting,
  EndpointVerdict,
  FactResult,
  Matrix,
} from '../../src/matrix/matrix.js';
import type { Plan } from '../../src/plan/model.js';
import type { AddressSighting } from '../../src/sighting/types.js';
import { anEvidence, T0, T1 } from './evidence.js';

export const DIGEST = '3f'.repeat(32);

export function aFinding(
  code: string,
  severity: Finding['severity'],
  subject: string,
  message: string,
  more: Partial<Pick<Finding, 'evidence' | 'advice' | 'about' | 'seen'>> = {},
): Finding {
  // A result may have been written by another version, so any code must do here.
  return {
    id: `${code}:${subject}`,
    follows: [],
    code,
    severity,
    subject,
    message,
    evidence: [],
    advice: 'Look at it.',
    ...more,
  };
}

/** An endpoint's sighting as the result keeps it. */
export function seen(
  vantage: string,
  sighting: AddressSighting,
  more: Partial<EndpointSighting> = {},
): EndpointSighting {
  const { address: _address, own: _own, mend: _mend, reachReason: _reason, ...kept } = sighting;
  return {
    vantage,
    macs: sighting.presence.outcome === 'claimed' ? sighting.presence.macs : [],
    link: {},
    ...kept,
    ...more,
  };
}

export interface Found {
  readonly verdict: EndpointVerdict;
  readonly reasons?: readonly string[];
  readonly sightings?: readonly EndpointSighting[];
  readonly differences?: readonly Difference[];
  readonly facts?: readonly FactResult[];
}

export function aMatrix(plan: Plan, found: (id: string) => Found, more: Partial<Matrix> = {}): Matrix {
  const endpoints: EndpointResult[] = plan.endpoints.map((endpoint) => {
    const { verdict, facts = [], reasons = [], sightings = [], differences = [] } = found(endpoint.id);
    return {
      id: endpoint.id,
      device: endpoint.device,
      controller: endpoint.controller ?? '',
      port: endpoint.port,
      role: endpoint.role,
      network: endpoint.network ?? '',
      address: endpoint.address ?? '',
      group: endpoint.group ?? '',
      verdict,
      reasons,
      sightings,
      facts,
      differences,
    };
  });
  const findings = more.findings ?? [];
  const amount = (verdict: EndpointVerdict): number =>
    endpoints.filter((each) => each.verdict === verdict).length;
  const rank = (severity: Finding['severity']): number =>
    findings.filter((each) => each.severity === severity).length;
  const { snmp: _secret, ...model } = plan;
  const evidence = more.evidence ?? [anEvidence()];
  return {
    format: 'matchmark.matrix/1',
    run: {
      id: '2030-01-02-harbour-1',
      startedAt: T0,
      finishedAt: T1,
      complete: true,
      stage: 'configured',
      version: '0.1.0',
    },
    plan: { site: plan.site.name, reference: plan.site.reference, files: plan.files, model },
    vantages: evidence.map(({ vantage: { name, platform, interfaces } }) => ({
      name,
      platform,
      interfaces: interfaces.map((one) => ({ name: one.name, mac: one.mac, addresses: one.addresses })),
    })),
    endpoints,
    defaults: [],
    strangers: [],
    groups: [],
    observations: [],
    capacity: [],
    equipment: [],
    findings,
    summary: {
      matches: amount('matches'),
      differs: amount('differs'),
      missing: amount('missing'),
      unproven: amount('unproven'),
      stop: rank('stop'),
      fix: rank('fix'),
      note: rank('note'),
      facts: { matches: 0, differs: 0, missing: 0, unproven: 0 },
    },
    evidence,
    ...more,
  };
}

/** A port that came up as planned. */
export const LINK = {
  ifIndex: 3,
  ifName: 'port-3',
  operStatus: 'up',
  speedMbps: 10_000,
  mtu: 9000,
  addresses: [],
} as const;
