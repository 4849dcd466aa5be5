/** A TCP connection by bash, which takes /dev/tcp/ADDRESS/PORT for one (bash(1), REDIRECTION). */
import type { ServiceTarget } from '../probe/service-probe.js';
import type { Probe } from '../probe/types.js';
import type { TcpSighting } from '../sighting/types.js';
import type { Programs } from '../system/program-types.js';

/** Exit status of timeout(1) for a program that it had to end. */
const TIMED_OUT = 124;

/** Three SYNs, and a second for the answer to the last. */
const LEAST_SECONDS = 4;

/** Undefined where bash or timeout is not there. */
export async function shellTcp(programs: Programs): Promise<Probe<ServiceTarget, TcpSighting> | undefined> {
  const tried = await programs.run('timeout', ['5', 'bash', '-c', 'exit 7'], { timeoutMs: 10_000 });
  if (!tried.ran || tried.exitCode !== 7) return undefined;
  return async ({ address, service }, patience, signal) => {
    const head = { port: service.port, service: service.name };
    // Of SYNs that are lost the kernel sends others after 1, 3 and 7 s (RFC 6298 §5.5, from memory).
    const waitMs = patience.timeoutMs * (patience.attempts - 1) + (patience.lastMs ?? patience.timeoutMs);
    const seconds = Math.max(LEAST_SECONDS, Math.ceil(waitMs / 1000));
    const result = await programs.run(
      'timeout',
      [String(seconds), 'bash', '-c', `exec 3<>/dev/tcp/${address}/${service.port}`],
      { timeoutMs: seconds * 1000 + 10_000, signal },
    );
    if (signal.aborted) return { ...head, outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' };
    return { ...head, ...readConnect(result) };
  };
}

type Outcome =
  | { readonly outcome: 'accepted' }
  | { readonly outcome: 'refused'; readonly cause: 'refused' }
  | { readonly outcome: 'no-reply'; readonly cause: 'timeout' }
  | {
      readonly outcome: 'unreachable';
      readonly cause: 'host-unreachable' | 'net-unreachable';
      readonly detail: string;
    }
  | {
      readonly outcome: 'not-run';
      readonly cause: 'local-failure' | 'vantage-failed';
      readonly reason: string;
    };

/** The texts are those of the C locale, which the greeting sets (strerror of ECONNREFUSED, EHOSTUNREACH, ENETUNREACH). */
export function readConnect(result: Awaited<ReturnType<Programs['run']>>): Outcome {
  if (!result.ran)
    return { outcome: 'not-run', cause: 'vantage-failed', reason: 'the connection to that place ended' };
  if (result.exitCode === 0) return { outcome: 'accepted' };
  if (result.exitCode === TIMED_OUT || result.timedOut || /timed out/i.test(result.stdout))
    return { outcome: 'no-reply', cause: 'timeout' };
  if (/refused/i.test(result.stdout)) return { outcome: 'refused', cause: 'refused' };
  if (/no route to host/i.test(result.stdout))
    return { outcome: 'unreachable', cause: 'host-unreachable', detail: 'no route to host' };
  if (/network is unreachable/i.test(result.stdout))
    return { outcome: 'unreachable', cause: 'net-unreachable', detail: 'network is unreachable' };
  return { outcome: 'not-run', cause: 'local-failure', reason: 'bash could not connect there' };
}
