/**
 * The one place that decides how fast a run may speak: a ceiling of frames for the run, and one of questions for each device
 * (DESIGN 5). Whatever goes on the wire asks here first: presence, probes, tables, drill.
 */
import type { Clock } from '../probe/types.js';
import { createSlots, type Release } from './slots.js';

export interface PaceLimits {
  /** Conversations open at a time, silent connections not counted. */
  readonly runConcurrent: number;
  /** Frames that leave this laptop in any second. */
  readonly runPerSecond: number;
  /** Small management processors fall over before the network does. */
  readonly deviceConcurrent: number;
  /** Questions begun to one device in a second. */
  readonly devicePerSecond: number;
}

export const DEFAULT_PACE: PaceLimits = {
  runConcurrent: 192,
  runPerSecond: 4000,
  deviceConcurrent: 6,
  devicePerSecond: 25,
};

/** A slower pace for a fragile site: so many frames a second, and each device and what is open at a time in proportion. */
export function paceOf(framesPerSecond: number): PaceLimits {
  const share = Math.min(1, framesPerSecond / DEFAULT_PACE.runPerSecond);
  const part = (limit: number, least: number): number => Math.max(least, Math.floor(limit * share));
  return {
    runPerSecond: Math.min(framesPerSecond, DEFAULT_PACE.runPerSecond),
    runConcurrent: part(DEFAULT_PACE.runConcurrent, 4),
    deviceConcurrent: part(DEFAULT_PACE.deviceConcurrent, 1),
    devicePerSecond: Math.max(0.5, DEFAULT_PACE.devicePerSecond * share),
  };
}

/** Frames that this laptop sends for one question, as a capture on its port counted them. */
export const FRAMES = {
  /** The ARP question, and the datagram that made the kernel ask. */
  presence: 2,
  echo: 1,
  /** SYN, ACK, and a FIN or RST. */
  connect: 3,
  /** What a proof adds to its connection: TLS hello, keys, the request, acknowledgements. */
  proof: 8,
  snmp: 4,
  redfish: 12,
  iscsi: 8,
  /** One size of echo, with the small one before. */
  mtu: 4,
  /** A walk puts one question after the other: what it needs in the moment it begins. */
  table: 16,
} as const;

export interface Pacer {
  /**
   * Runs `work` when the device and the run both have room for it and for its frames; rejects only as `work` does. `work` may give its
   * place back early, once nothing more is open to the device.
   */
  run<T>(device: string, frames: number, work: (release: Release) => Promise<T>): Promise<T>;
  /** Takes up to `wanted` frames that may leave now; gives how many. */
  take(wanted: number): number;
  /** Frames that follow from an answer and cannot wait: whatever comes next waits for them. */
  charge(frames: number): void;
}

export type Sleep = (milliseconds: number, signal: AbortSignal) => Promise<void>;

/** What is not used is kept for this long: a pause is no reason for a burst. */
const RUN_BURST_MS = 60;
const DEVICE_BURST_MS = 250;
/** Together with the burst, no second holds more than the ceiling. */
const RUN_SHARE = 1 - RUN_BURST_MS / 1000;

export function createPacer(limits: PaceLimits, clock: Clock, sleep: Sleep, signal: AbortSignal): Pacer {
  const runSlots = createSlots(limits.runConcurrent);
  const runTurn = turns(limits.runPerSecond * RUN_SHARE, RUN_BURST_MS, clock);
  const devices = new Map<string, { slots: ReturnType<typeof createSlots>; turn: Turns }>();
  return {
    async run(device, frames, work) {
      let room = devices.get(device);
      if (room === undefined) {
        room = {
          slots: createSlots(limits.deviceConcurrent),
          turn: turns(limits.devicePerSecond, DEVICE_BURST_MS, clock),
        };
        devices.set(device, room);
      }
      const releaseDevice = await room.slots.take();
      await sleep(room.turn.next(1), signal);
      const releaseRun = await runSlots.take();
      const release = (): void => {
        releaseRun();
        releaseDevice();
      };
      try {
        await sleep(runTurn.next(frames), signal);
        return await work(release);
      } finally {
        release();
      }
    },
    take: (wanted) => runTurn.now(wanted),
    charge: (frames) => {
      runTurn.next(frames);
    },
  };
}

interface Turns {
  /** Takes so many turns; how long to wait for them, in milliseconds. */
  next(count: number): number;
  /** Takes up to so many turns that need no wait. */
  now(wanted: number): number;
}

/** `perSecond` turns a second; those of the last `burstMs` that nobody took are still there. */
function turns(perSecond: number, burstMs: number, clock: Clock): Turns {
  const everyMs = 1000 / perSecond;
  let next = Number.NEGATIVE_INFINITY;
  const begin = (): number => Math.max(next, clock.now() - Math.max(burstMs, everyMs));
  return {
    next: (count) => {
      next = begin() + everyMs * count;
      return Math.max(0, next - clock.now());
    },
    now: (wanted) => {
      const from = begin();
      const free = Math.max(0, Math.min(wanted, Math.floor((clock.now() - from) / everyMs)));
      next = from + everyMs * free;
      return free;
    },
  };
}

/** Waits, but no longer than until the signal aborts. */
export function realSleep(milliseconds: number, signal: AbortSignal): Promise<void> {
  if (milliseconds <= 0 || signal.aborted) return Promise.resolve();
  return new Promise((resolve) => {
    const done = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', done);
      resolve();
    };
    const timer = setTimeout(done, milliseconds);
    signal.addEventListener('abort', done, { once: true });
  });
}
