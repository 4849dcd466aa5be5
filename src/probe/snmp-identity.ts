/** SNMP as a service and as a source of identity. Reads only; without a credential it only asks whether an agent lives there. */
import type { PlannedService } from '../plan/model.js';
import type { ServiceProof, SnmpIdentity, SnmpSighting } from '../sighting/types.js';
import { discoverEngine, type EngineAnswer } from '../snmp/engine-discovery.js';
import type { SnmpFailure } from '../snmp/failure.js';
import { openSession, type SnmpSession } from '../snmp/session.js';
import { readSerials, readSystemGroup } from '../snmp/system-group.js';
import { INTERRUPTED } from './refusal.js';
import { answered, notAsked } from './service-probe.js';
import type { Patience, Probe, ResolvedSnmp } from './types.js';

export interface SnmpTarget {
  readonly address: string;
  readonly service: PlannedService;
  /** Absent: the plan names none. `missing`: it names one whose secret could not be read. */
  readonly credential?: ResolvedSnmp | { readonly missing: string } | undefined;
}

export interface SnmpAnswer {
  readonly sighting: SnmpSighting;
  readonly proof: ServiceProof;
  readonly identity?: SnmpIdentity | undefined;
}

export const probeSnmp: Probe<SnmpTarget, SnmpAnswer> = async (target, patience, signal) => {
  if (signal.aborted) return interrupted(target.service);
  const { credential } = target;
  const answer =
    credential === undefined || 'missing' in credential
      ? await withoutCredential(target, credential?.missing, patience, signal)
      : await withCredential(target, credential, patience, signal);
  return signal.aborted ? interrupted(target.service) : answer;
};

function interrupted(service: PlannedService): SnmpAnswer {
  return { sighting: INTERRUPTED, proof: notAsked(service, INTERRUPTED) };
}

const NO_CREDENTIAL = 'no credential in the plan';

async function withoutCredential(
  target: SnmpTarget,
  missing: string | undefined,
  patience: Patience,
  signal: AbortSignal,
): Promise<SnmpAnswer> {
  const { address, service } = target;
  const engine = await discoverEngine({ address, port: service.port }, patience, signal);
  const reason = missing ?? NO_CREDENTIAL;
  const cause = missing === undefined ? 'no-credential' : 'secret-missing';
  const mend = missing === undefined ? 'name a credential in the plan (snmp)' : undefined;
  const sighting: SnmpSighting = {
    outcome: 'not-run',
    cause,
    reason,
    ...(mend === undefined ? {} : { mend }),
  };
  if (engine.outcome === 'engine') {
    const { engineId } = engine;
    return {
      sighting,
      proof: answered(service, 'proven', `SNMPv3 engine ${engineId}`),
      identity: { engineId },
    };
  }
  if (engine.outcome === 'no-reply' || engine.outcome === 'not-run') {
    const why = engine.outcome === 'not-run' ? engine.reason : 'no SNMPv3 agent answered';
    return { sighting, proof: notAsked(service, { cause, reason: `${reason}, and ${why}`, mend }) };
  }
  return { sighting, proof: answered(service, engine.outcome, engine.detail) };
}

async function withCredential(
  target: SnmpTarget,
  credential: ResolvedSnmp,
  patience: Patience,
  signal: AbortSignal,
): Promise<SnmpAnswer> {
  const { address, service } = target;
  const early = new AbortController();
  const onAbort = () => early.abort();
  signal.addEventListener('abort', onAbort, { once: true });
  const port = portOf(service, credential);
  const session = openSession(address, { ...credential, port }, patience, early.signal);
  try {
    if ('unusable' in session) {
      const sighting = { outcome: 'not-run', cause: 'secret-missing', reason: session.unusable } as const;
      return { sighting, proof: notAsked(service, sighting) };
    }
    // Runs beside the question: a closed port or an agent that will not have us shows at once, and costs no patience of its own.
    const knock = discoverEngine({ address, port }, patience, early.signal);
    void knock.then((engine) => {
      if (engine.outcome === 'refused' || engine.outcome === 'unreachable') early.abort();
    });
    const group = await readSystemGroup(session);
    if ('identity' in group) return await replied(target, credential, session, group.identity, knock, early);
    if (!group.ok) return failed(target, credential, group.failure, await knock);
    return failed(target, credential, { kind: 'malformed', detail: 'empty answer' }, await knock);
  } finally {
    signal.removeEventListener('abort', onAbort);
    if (!('unusable' in session)) session.close();
    early.abort();
  }
}

/** IANA: snmp is 161/udp. A service written with another port means it; else the credential's port goes. */
function portOf(service: PlannedService, credential: ResolvedSnmp): number {
  return service.port === 161 ? credential.port : service.port;
}

async function replied(
  target: SnmpTarget,
  credential: ResolvedSnmp,
  session: SnmpSession,
  system: SnmpIdentity,
  knock: Promise<EngineAnswer>,
  early: AbortController,
): Promise<SnmpAnswer> {
  const serials = await readSerials(session);
  early.abort();
  const engine = await knock;
  const identity: SnmpIdentity = {
    ...system,
    ...(serials.length === 0 ? {} : { serials }),
    ...(engine.outcome === 'engine' ? { engineId: engine.engineId } : {}),
  };
  const name = system.sysName === undefined ? '' : `, sysName ${system.sysName}`;
  return {
    sighting: { outcome: 'replied', version: credential.version, credential: credential.name },
    proof: answered(target.service, 'proven', `SNMP version ${credential.version}${name}`),
    identity,
  };
}

function failed(
  { service }: SnmpTarget,
  credential: ResolvedSnmp,
  failure: SnmpFailure,
  engine: EngineAnswer,
): SnmpAnswer {
  const head = { credential: credential.name };
  if (engine.outcome === 'refused' || engine.outcome === 'unreachable') {
    const { outcome, detail } = engine;
    return { sighting: { ...head, outcome, detail }, proof: answered(service, outcome, detail) };
  }
  if (failure.kind === 'socket' && failure.refusal.outcome === 'not-run') {
    return { sighting: failure.refusal, proof: notAsked(service, failure.refusal) };
  }
  const there = engine.outcome === 'engine' ? { identity: { engineId: engine.engineId } } : {};
  if (failure.kind === 'rejected' || failure.kind === 'error-status') {
    const { detail } = failure;
    return {
      sighting: { ...head, outcome: 'rejected', detail },
      proof: answered(service, 'proven', detail),
      ...there,
    };
  }
  if (engine.outcome === 'engine') {
    const detail = 'an agent lives there, but does not answer to this credential';
    return {
      sighting: { ...head, outcome: 'rejected', detail },
      proof: answered(service, 'proven', detail),
      ...there,
    };
  }
  const detail = detailOf(failure) ?? (engine.outcome === 'other-protocol' ? engine.detail : undefined);
  const silent = detail === undefined;
  return {
    sighting: { ...head, outcome: 'no-reply', ...(silent ? {} : { detail }) },
    proof: silent ? answered(service, 'silent', 'no answer') : answered(service, 'other-protocol', detail),
  };
}

function detailOf(failure: SnmpFailure): string | undefined {
  if (failure.kind === 'malformed' || failure.kind === 'no-reply') return failure.detail;
  return undefined;
}
