/**
 * A look through the POSIX shell of a place that has no Node: the same scheduler, here, with programs that run there. What a shell cannot ask
 * is `not-run` with that reason.
 */
import { setMaxListeners } from 'node:events';
import { observe } from '../run/observe.js';
import { evidenceSchema } from '../sighting/evidence.js';
import type { Evidence, Vantage } from '../sighting/types.js';
import { acceptEvidence, cleanAll } from './accept.js';
import type { AgentRequest } from './messages.js';
import type { LookOptions, PlaceAnswer } from './node-look.js';
import { lookByPorts, portName } from './port-looks.js';
import type { Session } from './session.js';
import { shellDeps } from './shell-deps.js';
import { shellPrograms } from './shell-programs.js';
import { shellTcp } from './shell-tcp.js';
import { shellVantage } from './shell-vantage.js';
import type { PlaceTrouble } from './trouble.js';

export type ShellRequest = Omit<AgentRequest, 'credentials' | 'kind'> & {
  /** Of the Node that is there and too old. */
  readonly nodeVersion?: string | undefined;
};

/** Each question costs processes of a host that is not ours. */
const SHELL_PACE = { runConcurrent: 24, runPerSecond: 100 };

/** Never rejects. */
export async function lookByShell(
  session: Session,
  request: ShellRequest,
  { nonce, withinMs, now, onProgress }: Omit<LookOptions, 'agent'>,
  signal: AbortSignal,
): Promise<PlaceAnswer> {
  const { plan, stage, only, name, from } = request;
  const programs = shellPrograms(session, nonce);
  const stop = new AbortController();
  // Every question listens to it; Node would take more than ten for a leak and say so on the laptop's screen.
  setMaxListeners(0, stop.signal);
  let trouble: PlaceTrouble | undefined;
  const end = (why: PlaceTrouble): void => {
    trouble ??= why;
    stop.abort();
  };
  const onAbort = (): void => end({ trouble: 'interrupted' });
  signal.addEventListener('abort', onAbort, { once: true });
  const timer = setTimeout(() => end({ trouble: 'too-slow' }), withinMs);
  void programs.broken.then(end);
  let vantage: Vantage | undefined;
  try {
    vantage = await shellVantage(name, from, programs);
    if (trouble !== undefined) return { evidence: undefined, trouble };
    const deps = shellDeps(vantage, programs, now, await shellTcp(programs));
    const pace = {
      ...request.pace,
      runConcurrent: Math.min(request.pace.runConcurrent, SHELL_PACE.runConcurrent),
      runPerSecond: Math.min(request.pace.runPerSecond, SHELL_PACE.runPerSecond),
    };
    const seen = await observe({ plan, stage, only, pace, vantageName: name }, deps, stop.signal, onProgress);
    const how = { plan, stage, only, from, aheadMs: 0 };
    const evidence = acceptEvidence(checked(seen, request), { ...how, name });
    const byPort = await lookByPorts(
      seen.vantage,
      { plan, stage, only, pace },
      { programs, now },
      stop.signal,
    );
    return {
      evidence,
      trouble,
      ports: byPort.map(({ port, evidence: one }) =>
        acceptEvidence(asText(one), { ...how, name: portName(name, port) }),
      ),
    };
  } finally {
    clearTimeout(timer);
    signal.removeEventListener('abort', onAbort);
    programs.close();
  }
}

/** Read from what that place printed, and so held to the schema like all that comes from there. */
function checked(evidence: Evidence, { name, nodeVersion }: ShellRequest): Evidence {
  const why = nodeVersion === undefined ? 'has no Node' : `has Node ${nodeVersion}, which is too old`;
  const note = `${name} ${why}: its shell asked who is there, echo, path MTU and TCP connections; the rest needs Node 20 or newer there.`;
  return asText({ ...evidence, notes: [...evidence.notes, note] });
}

function asText(evidence: Evidence): Evidence {
  return evidenceSchema.parse(cleanAll(evidence));
}
