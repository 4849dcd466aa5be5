import type { PlannedService } from '../plan/model.js';
import type {
  Cause,
  IdentitySighting,
  IscsiSighting,
  NotRun,
  ServiceProof,
  TcpSighting,
} from '../sighting/types.js';
import type { Patience, Probe } from './types.js';

export interface ServiceTarget {
  readonly address: string;
  readonly service: PlannedService;
  /** How long the connection may take; absent: as long as the rest. */
  readonly connect?: Patience | undefined;
}

/** One connection tells both whether the port takes it and what speaks there. */
export interface ServiceAnswer {
  readonly proof: ServiceProof;
  /** How the connection went that the proof was made over; absent where there is none (UDP). */
  readonly tcp?: TcpSighting | undefined;
  /** What a discovery session told, where the service is iSCSI. */
  readonly iscsi?: IscsiSighting | undefined;
  /** What the answer said about the device, where the protocol tells anything. */
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
  cause?: Cause | undefined,
): ServiceProof {
  const { name, protocol, port } = service;
  return {
    service: name,
    protocol,
    port,
    outcome,
    ...(cause === undefined ? {} : { cause }),
    ...(detail === undefined ? {} : { detail }),
  };
}

export function notAsked(service: PlannedService, why: Omit<NotRun, 'outcome'>): ServiceProof {
  const { name, protocol, port } = service;
  return {
    service: name,
    protocol,
    port,
    outcome: 'not-run',
    cause: why.cause,
    reason: why.reason,
    ...(why.mend === undefined ? {} : { mend: why.mend }),
  };
}
