/**
 * Asks the watched endpoints again and again and feeds the answers on in the order of the questions. A single unanswered question
 * between two answered ones counts as a lost packet, so a gap is at least two intervals long.
 */
import { setMaxListeners } from 'node:events';
import type { Clock } from '../probe/types.js';
import type { Sleep } from '../run/pace.js';
import type { Sample } from './index.js';

export interface Watch {
  readonly endpoint: string;
  readonly intervalMs: number;
  /** One question; true where the service, or at least its host, answered. Never rejects. */
  readonly ask: (signal: AbortSignal) => Promise<boolean>;
}

export interface Sampler {
  /** Shortest gap that can be told from a lost packet. */
  readonly resolutionMs: number;
  /** Whether each endpoint answered last; undefined until it was asked. */
  isUp(endpoint: string): boolean | undefined;
  onSample(listener: ((sample: Sample) => void) | undefined): void;
  stop(): Promise<void>;
}

/** Questions on their way to one endpoint: the next waits when so many are unanswered. */
const MOST_OPEN = 12;

export function startSampler(watches: readonly Watch[], clock: Clock, sleep: Sleep): Sampler {
  const ending = new AbortController();
  // Every watch listens to it; Node would take more than ten for a leak and say so on the terminal.
  setMaxListeners(0, ending.signal);
  const up = new Map<string, boolean>();
  let listener: ((sample: Sample) => void) | undefined;
  const keep = (sample: Sample): void => {
    up.set(sample.endpoint, sample.up);
    listener?.(sample);
  };
  const loops = watches.map((watch) => watchOne(watch, clock, sleep, ending.signal, keep));
  return {
    resolutionMs: 2 * Math.max(0, ...watches.map(({ intervalMs }) => intervalMs)),
    isUp: (endpoint) => up.get(endpoint),
    onSample: (next) => {
      listener = next;
    },
    async stop() {
      ending.abort();
      await Promise.all(loops);
    },
  };
}

async function watchOne(
  { endpoint, intervalMs, ask }: Watch,
  clock: Clock,
  sleep: Sleep,
  signal: AbortSignal,
  keep: (sample: Sample) => void,
): Promise<void> {
  // The first unanswered question after an answered one, kept until the next tells a lost packet from a gap.
  let held: Sample | undefined;
  let wasUp = false;
  const take = (sample: Sample): void => {
    if (held !== undefined) {
      keep({ ...held, up: sample.up });
      held = undefined;
    } else if (wasUp && !sample.up) {
      held = sample;
      wasUp = false;
      return;
    }
    keep(sample);
    wasUp = sample.up;
  };
  let order: Promise<void> = Promise.resolve();
  let open = 0;
  while (!signal.aborted) {
    const atMs = clock.now();
    if (open < MOST_OPEN) {
      open += 1;
      const answer = ask(signal);
      order = order.then(async () => {
        const answered = await answer;
        open -= 1;
        if (!signal.aborted) take({ atMs, endpoint, up: answered });
      });
    }
    await sleep(Math.max(0, atMs + intervalMs - clock.now()), signal);
  }
  await order;
}
