/**
 * SNMP as a service and as a source of identity, in one question. Reads only; without a credential it only asks whether an agent lives
 * there.
 */

import type { PlannedService } from '../plan/model.js';
import { SNMP_PORT } from '../plan/services.js';
import { bounded } from '../probe/bound.js';
import { INTERRUPTED } from '../probe/refusal.js';
import { answered, notAsked } from '../probe/service-probe.js';
import type { Patience, Probe, ResolvedSnmp } from '../probe/types.js';
import type { NotRun, ServiceProof, SnmpIdentity, SnmpSighting } from '../sighting/types.js';
import { discoverEngine, type EngineAnswer } from './engine-discovery.js';
import type { SnmpFailure } from './failure.js';
import { openSession } from './session.js';
import { readHardware, readSystemGroup } from './system-group.js';

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

/** The longest that one agent may take for all of it, above what one unanswered question costs, in milliseconds. */
const REST_MS = 2000;

/** At most one patience (`timeoutMs * attempts`) and two seconds; an agent that crawls or goes on for ever is left there. */
export const probeSnmp: Probe<SnmpTarget, SnmpAnswer> = async (target, patience, signal) => {
  if (signal.aborted) return unasked(target.service, INTERRUPTED);
  const { credential } = target;
  const answer =
    credential === undefined || 'missing' in credential
      ? await withoutCredential(target, credential?.missing, patience, signal)
      : await withCredential(target, credential, patience, signal);
  return signal.aborted ? unasked(target.service, INTERRUPTED) : answer;
};

function unasked(service: PlannedService, why: NotRun): SnmpAnswer {
  return { sighting: why, proof: notAsked(service, why) };
}

const NO_CREDENTIAL: NotRun = {
  outcome: 'not-run',
  cause: 'no-credential',
  reason: 'no credential in the plan',
  mend: 'name a credential in the plan (snmp)',
};

async function withoutCredential(
  target: SnmpTarget,
  missing: string | undefined,
  patience: Patience,
  signal: AbortSignal,
): Promise<SnmpAnswer> {
  const { address, service } = target;
  const engine = await discoverEngine({ address, port: service.port }, patience, signal);
  const sighting: NotRun =
    missing === undefined ? NO_CREDENTIAL : { outcome: 'not-run', cause: 'secret-missing', reason: missing };
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
    return { sighting, proof: notAsked(service, { ...sighting, reason: `${sighting.reason}, and ${why}` }) };
  }
  return { sighting, proof: answered(service, engine.outcome, engine.detail, engine.cause) };
}

async function withCredential(
  target: SnmpTarget,
  credential: ResolvedSnmp,
  patience: Patience,
  signal: AbortSignal,
): Promise<SnmpAnswer> {
  const { address, service } = target;
  const early = bounded(signal, patience.timeoutMs * Math.max(1, patience.attempts) + REST_MS);
  const port = portOf(service, credential);
  const session = openSession(address, { ...credential, port }, patience, early.signal);
  try {
    if ('unusable' in session) {
      return unasked(service, { outcome: 'not-run', cause: 'secret-missing', reason: session.unusable });
    }
    // Runs beside the question: a closed port or an agent that will not have us shows at once, and costs no patience of its own.
    const engineQuestion = discoverEngine({ address, port }, patience, early.signal);
    void engineQuestion.then((engine) => {
      if (engine.outcome === 'engine') patience.answered?.(1);
      if (engine.outcome === 'refused' || engine.outcome === 'unreachable') early.end();
    });
    const group = await readSystemGroup(session);
    if (group.ok) {
      patience.answered?.(1);
      const hardware = await readHardware(session);
      early.end();
      return replied(target, credential, { ...group.identity, ...hardware }, await engineQuestion);
    }
    const engine = await engineQuestion;
    return failed(target, credential, early.reached() ? LATE : group.failure, engine);
  } finally {
    if (!('unusable' in session)) session.close();
    early.end();
  }
}

/** Answers dripped in, and none of them was whole when the time was up. */
const LATE: SnmpFailure = { kind: 'no-reply', cause: 'timeout', detail: 'the agent took too long' };

/** IANA: snmp is 161/udp. A service written with another port means it; else the credential's port goes. */
function portOf(service: PlannedService, credential: ResolvedSnmp): number {
  return service.port === SNMP_PORT ? credential.port : service.port;
}

function replied(
  target: SnmpTarget,
  credential: ResolvedSnmp,
  system: SnmpIdentity,
  engine: EngineAnswer,
): SnmpAnswer {
  const name = system.sysName === undefined ? '' : `, sysName ${system.sysName}`;
  return {
    sighting: { outcome: 'replied', version: credential.version, credential: credential.name },
    proof: answered(target.service, 'proven', `SNMP version ${credential.version}${name}`),
    identity: engine.outcome === 'engine' ? { ...system, engineId: engine.engineId } : system,
  };
}

function failed(
  { service }: SnmpTarget,
  credential: ResolvedSnmp,
  failure: SnmpFailure,
  engine: EngineAnswer,
): SnmpAnswer {
  const head = { credential: credential.name };
  const there = engine.outcome === 'engine' ? { identity: { engineId: engine.engineId } } : {};
  if (failure.kind === 'rejected' || failure.kind === 'error-status') {
    const { cause, detail } = failure;
    return {
      sighting: { ...head, outcome: 'rejected', cause, detail },
      proof: answered(service, 'proven', detail, cause),
      ...there,
    };
  }
  if (engine.outcome === 'engine') {
    const cause = 'credential-rejected';
    const detail = 'an agent lives there, but does not answer to this credential';
    return {
      sighting: { ...head, outcome: 'rejected', cause, detail },
      proof: answered(service, 'proven', detail, cause),
      ...there,
    };
  }
  const refusal = failure.kind === 'socket' ? failure.refusal : engine;
  if (refusal.outcome === 'not-run' && refusal.cause !== 'interrupted') return unasked(service, refusal);
  if (refusal.outcome === 'refused' || refusal.outcome === 'unreachable') {
    const { outcome, cause, detail } = refusal;
    return {
      sighting: { ...head, outcome, cause, detail },
      proof: answered(service, outcome, detail, cause),
    };
  }
  return silent(service, head, failure, engine);
}

/** Nothing came that could be used. Something that came and was no SNMP is another protocol; a stranger's answer is silence. */
function silent(
  service: PlannedService,
  head: { readonly credential: string },
  failure: SnmpFailure,
  engine: EngineAnswer,
): SnmpAnswer {
  const cause = failure.kind === 'interrupted' ? 'timeout' : failure.cause;
  const said = 'detail' in failure ? failure.detail : undefined;
  if (cause === 'malformed' || cause === 'other-protocol') {
    const detail = said ?? 'something answered, but not in SNMP';
    return {
      sighting: { ...head, outcome: 'no-reply', cause, detail },
      proof: answered(service, 'other-protocol', detail, cause),
    };
  }
  if (engine.outcome === 'other-protocol') {
    return {
      sighting: { ...head, outcome: 'no-reply', cause: engine.cause, detail: engine.detail },
      proof: answered(service, 'other-protocol', engine.detail, engine.cause),
    };
  }
  return {
    sighting: { ...head, outcome: 'no-reply', cause, ...(said === undefined ? {} : { detail: said }) },
    proof: answered(service, 'silent', said ?? 'no answer', cause),
  };
}
