/**
 * Beside the looks, which take as long as their patience with the silent: each address is asked one small thing every second, so that a
 * cable that goes or comes shows within two.
 */
import type { Plan, PlannedService } from '../plan/model.js';
import type { Sleep } from '../run/pace.js';
import type { Evidence } from '../sighting/types.js';

export interface PulseTarget {
  readonly address: string;
  /** The laptop's own port that leads there. */
  readonly interface?: string | undefined;
  /** A port that takes connections, or that the plan names; absent: a datagram to a port where nobody listens. */
  readonly service?: PlannedService | undefined;
  /** This very port took a connection in the look before: silence from now on is news. */
  readonly tookConnection?: true | undefined;
}

export interface Pulse {
  /** True where the address gave any sign of life. */
  readonly ask: (target: PulseTarget, signal: AbortSignal) => Promise<boolean>;
  readonly everyMs: number;
}

/** Addresses asked at a time. */
const TOGETHER = 16;
/** Frames of one question: SYN, ACK, the end; more where it stays silent. */
const FRAMES_EACH = 4;

/** What is asked at each address; addresses that cannot be asked from here are left out. */
export function pulseTargets(plan: Plan, { sightings }: Evidence): PulseTarget[] {
  return sightings.flatMap(({ address, interface: leavesBy, reach, own, tcp, presence }) => {
    // Behind a router a refusal may be a firewall's, and silence too.
    if (own || reach === 'no-route' || (reach === 'routed' && presence.outcome === 'not-run')) return [];
    const planned = plan.endpoints
      .filter((endpoint) => endpoint.address === address)
      .flatMap(({ services }) => services.filter(({ protocol }) => protocol === 'tcp'));
    const taken = tcp.find(({ outcome }) => outcome === 'accepted');
    const service = planned.find(({ port }) => port === taken?.port) ?? planned[0];
    return [
      {
        address,
        ...(leavesBy === undefined ? {} : { interface: leavesBy }),
        ...(service === undefined ? {} : { service }),
        ...(service !== undefined && service.port === taken?.port ? { tookConnection: true as const } : {}),
      },
    ];
  });
}

/**
 * Asks all of them every `everyMs` until the signal aborts; tells each change of an address once. An address that never gave a sign is
 * told as gone by the looks alone: it may be there and give none.
 */
export async function keepPulse(
  targets: () => readonly PulseTarget[],
  { ask, everyMs, framesPerSecond }: Pulse & { readonly framesPerSecond: number },
  sleep: Sleep,
  signal: AbortSignal,
  onChange: (address: string, alive: boolean) => void,
): Promise<void> {
  const alive = new Map<string, boolean>();
  const asking = new Set<string>();
  while (!signal.aborted) {
    const all = targets();
    // Spread over the second, and over more of them where the pace is slow: a site is not asked in bursts.
    const turnMs = Math.max(everyMs, (all.length * FRAMES_EACH * 1000) / framesPerSecond);
    for (const [at, target] of all.entries()) {
      if (at > 0 && at % TOGETHER === 0) await sleep((turnMs * TOGETHER) / all.length, signal);
      if (signal.aborted) return;
      const { address } = target;
      if (asking.has(address)) continue;
      asking.add(address);
      void ask(target, signal)
        .catch(() => false)
        .then((now) => {
          asking.delete(address);
          if (signal.aborted) return;
          const before = alive.get(address) ?? target.tookConnection;
          if (now) alive.set(address, true);
          else if (before !== undefined) alive.set(address, false);
          if (now ? before !== true : before === true) onChange(address, now);
        });
    }
    const last = all.length % TOGETHER || TOGETHER;
    await sleep(all.length === 0 ? turnMs : (turnMs * last) / all.length, signal);
  }
}
