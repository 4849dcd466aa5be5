/**
 * A look through the POSIX shell of a place that has no Node: the same scheduler, here, with programs that run there. What a shell cannot ask
 * is `not-run` with that reason.
 */
import type { PlannedService } from '../plan/model.js';
import { icmpProbe } from '../probe/icmp.js';
import { mtuProbe } from '../probe/path-mtu.js';
import { answered, notAsked } from '../probe/service-probe.js';
import { type ObserveDeps, observe } from '../run/observe.js';
import type { ProbeSet } from '../run/probe-set.js';
import { standpointFinder } from '../run/standpoint.js';
import { evidenceSchema } from '../sighting/evidence.js';
import type { Evidence, NotRun, Vantage } from '../sighting/types.js';
import type { Programs } from '../system/program-types.js';
import { acceptEvidence, cleanAll } from './accept.js';
import type { AgentRequest } from './messages.js';
import type { Looked, LookOptions } from './node-look.js';
import type { Session } from './session.js';
import { shellPresence } from './shell-presence.js';
import { shellPrograms } from './shell-programs.js';
import { shellTcp } from './shell-tcp.js';
import { shellVantage } from './shell-vantage.js';
import type { PlaceTrouble } from './trouble.js';

export type ShellRequest = Omit<AgentRequest, 'credentials' | 'quick'> & {
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
): Promise<Looked> {
  const { plan, stage, only, name, from } = request;
  const programs = shellPrograms(session, nonce);
  const stop = new AbortController();
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
    const deps = await shellDeps(vantage, programs, now);
    const pace = {
      ...request.pace,
      runConcurrent: Math.min(request.pace.runConcurrent, SHELL_PACE.runConcurrent),
      runPerSecond: Math.min(request.pace.runPerSecond, SHELL_PACE.runPerSecond),
    };
    const seen = await observe({ plan, stage, only, pace, vantageName: name }, deps, stop.signal, onProgress);
    const evidence = acceptEvidence(checked(seen, request), { plan, stage, only, name, from, aheadMs: 0 });
    return { evidence, trouble };
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
  return evidenceSchema.parse(cleanAll({ ...evidence, notes: [...evidence.notes, note] }));
}

async function shellDeps(vantage: Vantage, programs: Programs, now: () => Date): Promise<ObserveDeps> {
  let standpoint: ReturnType<typeof standpointFinder> | undefined;
  return {
    clock: { now: () => performance.now(), date: now },
    lookout: {
      vantage: async () => vantage,
      standpoint(_vantage, address, plan) {
        standpoint ??= standpointFinder('linux', vantage, plan);
        return standpoint(address);
      },
      settle: async (request, signal, onSettled) => ({
        presence: await shellPresence(programs, request, signal, onSettled),
        ownNeighbours: [],
        proxyArp: [],
        notes: [],
      }),
    },
    probes: await shellProbes(vantage, programs),
  };
}

const CANNOT: NotRun = {
  outcome: 'not-run',
  cause: 'not-supported',
  reason: 'a shell cannot ask this: it needs Node 20 or newer at that place',
};

async function shellProbes({ abilities }: Vantage, programs: Programs): Promise<ProbeSet> {
  const { ping } = abilities;
  const flavour = ping.able ? ping.flavour : undefined;
  const tcp = await shellTcp(programs);
  const noTcp: NotRun = { ...CANNOT, reason: 'that place has no bash or no timeout program to connect with' };
  const never = (): Promise<never> => Promise.reject(new Error('no agent answers a shell'));
  const connect: ProbeSet['tcp'] =
    tcp ?? (async ({ service }) => ({ port: service.port, service: service.name, ...noTcp }));
  return {
    icmp: ping.able
      ? icmpProbe({ programs, platform: 'linux', flavour })
      : async () => ({ outcome: 'not-run', cause: ping.cause ?? 'not-installed', reason: ping.reason }),
    mtu: mtuProbe({ programs, platform: 'linux', flavour }),
    tcp: connect,
    prove: async ({ service }) => ({ proof: proofBy(service) }),
    snmp: async ({ service }) => ({ sighting: CANNOT, proof: notAsked(service, CANNOT) }),
    redfish: async () => CANNOT,
    iscsi: async () => CANNOT,
    links: never,
    switchTables: never,
    fabricTables: never,
    powerSupplies: never,
    resolveCredential: async ({ name }) => ({ missing: `${name} is not asked by a shell` }),
  };
}

/** It is asked of ports that took a connection: of a bare port that is all there is to prove. */
function proofBy(service: PlannedService) {
  return service.name === `tcp/${service.port}`
    ? answered(service, 'proven', 'accepts connections')
    : notAsked(service, CANNOT);
}
