import type { PlannedService } from '../plan/model.js';
import type { IdentitySighting, ServiceProof } from '../sighting/types.js';
import type { Probe } from './types.js';

export interface ServiceTarget {
  readonly address: string;
  readonly service: PlannedService;
}

export interface ServiceAnswer {
  readonly proof: ServiceProof;
  /** What the answer said about the box, where the protocol tells anything. */
  readonly identity?: IdentitySighting | undefined;
}

/** Proves that a planned service speaks its own protocol, beyond an open port. Same promises as any `Probe`. */
export type ServiceProbe = Probe<ServiceTarget, ServiceAnswer>;

export type ProofOutcome = Exclude<ServiceProof['outcome'], 'not-run'>;

/** A proof that was asked and how it went. `detail` is cleaned text. */
export function answered(
  service: PlannedService,
  outcome: ProofOutcome,
  detail?: string | undefined,
): ServiceProof {
  const { name, protocol, port } = service;
  return { service: name, protocol, port, outcome, ...(detail === undefined ? {} : { detail }) };
}

export function notAsked(service: PlannedService, reason: string, mend?: string | undefined): ServiceProof {
  const { name, protocol, port } = service;
  return {
    service: name,
    protocol,
    port,
    outcome: 'not-run',
    reason,
    ...(mend === undefined ? {} : { mend }),
  };
}
