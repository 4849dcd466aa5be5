/** Endpoints that can be watched from here, asked again and again. */

import type { Endpoint, PlannedService } from '../plan/model.js';
import { DEFAULT_PACE, FRAMES, type PaceLimits } from '../run/pace.js';
import type { ProbeSet } from '../run/probe-set.js';
import type { IcmpSighting } from '../sighting/types.js';
import type { Watch } from './sampler.js';
import type { Question } from './watchable.js';

/** Data ports take ten connections a second; management processors are spared. */
const INTERVAL_MS = { steady: 100, spared: 200 } as const;
/** Shorter than the first TCP retransmission (RFC 6298 §2: 1 s), so that each question stands for its own moment. */
const TIMEOUT_MS = 400;
const PING_TIMEOUT_MS = 1000;

/** Within the ceilings of the run and of each device (`limits`): where many are watched, each is asked less often. */
export function watchesFor(
  questions: readonly Question[],
  probes: Pick<ProbeSet, 'tcp' | 'icmp'>,
  limits: PaceLimits = DEFAULT_PACE,
): Watch[] {
  const watches = questions.map(({ endpoint, address, service }) =>
    service === undefined
      ? { device: endpoint.device, frames: FRAMES.echo, watch: icmpWatch(endpoint, address, probes) }
      : {
          device: endpoint.device,
          frames: FRAMES.connect,
          watch: tcpWatch(endpoint, address, service, probes),
        },
  );
  const aSecond = (device: string | undefined, of: (frames: number) => number): number =>
    watches
      .filter((one) => device === undefined || one.device === device)
      .reduce((sum, { frames, watch }) => sum + (of(frames) * 1000) / watch.intervalMs, 0);
  const ofRun = aSecond(undefined, (frames) => frames) / limits.runPerSecond;
  return watches.map(({ device, watch }) => {
    const tooOften = Math.max(1, ofRun, aSecond(device, () => 1) / limits.devicePerSecond);
    return { ...watch, intervalMs: Math.ceil(watch.intervalMs * tooOften) };
  });
}

function tcpWatch(
  endpoint: Endpoint,
  address: string,
  service: PlannedService,
  probes: Pick<ProbeSet, 'tcp'>,
): Watch {
  const spared = endpoint.role !== 'data' && endpoint.role !== 'host';
  return {
    endpoint: endpoint.id,
    intervalMs: spared ? INTERVAL_MS.spared : INTERVAL_MS.steady,
    ask: async (signal) => {
      const { outcome } = await probes.tcp(
        { address, service },
        { timeoutMs: TIMEOUT_MS, attempts: 1 },
        signal,
      );
      return outcome === 'accepted';
    },
  };
}

function icmpWatch(endpoint: Endpoint, address: string, probes: Pick<ProbeSet, 'icmp'>): Watch {
  return {
    endpoint: endpoint.id,
    intervalMs: INTERVAL_MS.spared,
    ask: async (signal) => {
      const seen: IcmpSighting = await probes.icmp(
        { address },
        { timeoutMs: PING_TIMEOUT_MS, attempts: 1 },
        signal,
      );
      return seen.outcome === 'replied';
    },
  };
}
