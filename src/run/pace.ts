/**
 * The one place that decides how fast a run may speak: a ceiling of frames for the run, and one of questions for each device
 * (DESIGN 5). Whatever goes on the wire asks here first: presence, probes, tables, drill.
 */
import type { Clock } from '../probe/types.js';
import { moment } from './moment.js';
import { nextInTime } from './silent-looks.js';
import { createSlots, type Release, type Wish } from './slots.js';

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
  /** A request of a walk. */
  request: 1,
} as const;

export interface Pacer {
  /**
   * Runs `work` when the device and the run both have room for it and for its frames; rejects only as `work` does. `work` may give its
   * place back early, once nothing more is open to the device. Where it is not `wanted` any more when its turn comes, `work` sends nothing:
   * it runs at once and pays nothing. `wish`: what decides who comes next at a device of which nothing answers (silent-looks.ts).
   */
  run<T>(
    device: string,
    frames: number,
    work: (release: Release) => Promise<T>,
    wanted?: () => boolean,
    wish?: Wish,
  ): Promise<T>;
  /** Resolves when the next request of a walk may leave. `run` has its place at the device already. */
  request(device: string): Promise<void>;
  /** Takes up to `wanted` frames that may leave now; gives how many. */
  take(wanted: number): number;
  /** Frames that follow from an answer and cannot wait: whatever comes next waits for them. Less than 0: paid for, and not needed. */
  charge(frames: number): void;
}

/** What a request of a walk counts as at its device: each waits for the answer to the one before, so that they never pile up there. */
const REQUEST_SHARE = 0.25;

export type Sleep = (milliseconds: number, signal: AbortSignal) => Promise<void>;

/**
 * This part of the frames of a run is left free: for what the system sends by itself (an answer to ARP, a SYN that it repeats), and because a
 * program beside this one sends a moment later than was paid for, on a busy machine many in the same moment (4,092 of 4,000 were captured).
 */
const FREE_SHARE = 0.06;
/** What is not used is kept for this long: a pause is no reason for a burst. */
const RUN_BURST_MS = 60;
const DEVICE_BURST_MS = 250;

export function createPacer(limits: PaceLimits, clock: Clock, sleep: Sleep, signal: AbortSignal): Pacer {
  const runSlots = createSlots(limits.runConcurrent);
  const purse = createPurse(limits.runPerSecond, RUN_BURST_MS, clock, sleep, signal);
  let begun = false;
  const begin = (): void => {
    if (!begun) moment('first question');
    begun = true;
  };
  const devices = new Map<string, { slots: ReturnType<typeof createSlots>; turn: Turns }>();
  const roomOf = (device: string) => {
    const known = devices.get(device) ?? {
      slots: createSlots(limits.deviceConcurrent, nextInTime),
      turn: turns(limits.devicePerSecond, DEVICE_BURST_MS, clock),
    };
    devices.set(device, known);
    return known;
  };
  return {
    async run(device, frames, work, wanted = () => true, wish = undefined) {
      const room = roomOf(device);
      const releaseDevice = await room.slots.take(wish);
      if (!wanted()) {
        releaseDevice();
        return work(() => {});
      }
      const waitMs = room.turn.next(1);
      if (waitMs > 0) await sleep(waitMs, signal);
      const releaseRun = await runSlots.take();
      const release = (): void => {
        releaseRun();
        releaseDevice();
      };
      try {
        await purse.pay(frames);
        begin();
        return await work(release);
      } finally {
        release();
      }
    },
    async request(device) {
      const waitMs = roomOf(device).turn.next(REQUEST_SHARE);
      if (waitMs > 0) await sleep(waitMs, signal);
      await purse.pay(FRAMES.request);
    },
    take: (wanted) => {
      begin();
      return purse.now(wanted);
    },
    charge: (frames) => purse.owe(frames),
  };
}

interface Turns {
  /** Takes so many turns; how long to wait for them, in milliseconds. */
  next(count: number): number;
}

/** `perSecond` turns a second; those of the last `burstMs` that nobody took are still there. */
function turns(perSecond: number, burstMs: number, clock: Clock): Turns {
  const everyMs = 1000 / perSecond;
  let next = Number.NEGATIVE_INFINITY;
  return {
    next: (count) => {
      next = Math.max(next, clock.now() - Math.max(burstMs, everyMs)) + everyMs * count;
      return Math.max(0, next - clock.now());
    },
  };
}

interface Purse {
  /** Resolves when so many frames may leave, in the order of asking. */
  pay(frames: number): Promise<void>;
  /** Takes up to so many that may leave now. Who got less than was wanted comes first for a while. */
  now(wanted: number): number;
  /** Takes them whatever is there: who comes next waits for them. */
  owe(frames: number): void;
}

/** How long those who are refused at once come before those who wait, in milliseconds. */
const FIRST_FOR_MS = 200;

/**
 * The frames of the run, `perSecond` at most in any second: what a burst may hold is taken off what comes in. Those of the last `burstMs`
 * that nobody took are still there.
 */
function createPurse(
  perSecond: number,
  burstMs: number,
  clock: Clock,
  sleep: Sleep,
  signal: AbortSignal,
): Purse {
  const most = Math.max(1, (perSecond * burstMs) / 1000);
  const everyMs = 1000 / (perSecond * (1 - FREE_SHARE) - most);
  const waiting: { readonly frames: number; readonly go: () => void }[] = [];
  let left = most;
  let countedMs = clock.now();
  let refused = { frames: 0, untilMs: 0 };
  let pumping = false;

  const count = (): void => {
    const nowMs = clock.now();
    left = Math.min(most, left + (nowMs - countedMs) / everyMs);
    countedMs = nowMs;
  };
  /** What has to be there before the first in the queue may go; more than fits in is owed afterwards. */
  const lacking = (): number => {
    const first = waiting[0];
    if (first === undefined) return 0;
    const ahead = clock.now() < refused.untilMs ? refused.frames : 0;
    return Math.min(most, first.frames + ahead) - left;
  };
  const pump = async (): Promise<void> => {
    if (pumping) return;
    pumping = true;
    while (waiting.length > 0) {
      count();
      const lacks = lacking();
      if (lacks > 0 && !signal.aborted) {
        const fromMs = clock.now();
        await sleep(Math.max(1, lacks * everyMs), signal);
        // Where time stands still (tests), waiting is enough.
        if (clock.now() === fromMs) left += lacks;
        continue;
      }
      const first = waiting.shift();
      left -= first?.frames ?? 0;
      first?.go();
    }
    pumping = false;
  };

  return {
    pay: (frames) => {
      count();
      if (waiting.length === 0 && Math.min(most, frames) <= left) {
        left -= frames;
        return Promise.resolve();
      }
      return new Promise((go) => {
        waiting.push({ frames, go });
        void pump();
      });
    },
    now: (wanted) => {
      count();
      const free = Math.max(0, Math.min(wanted, Math.floor(left)));
      left -= free;
      refused = { frames: wanted - free, untilMs: clock.now() + FIRST_FOR_MS };
      return free;
    },
    owe: (frames) => {
      count();
      left -= frames;
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
