/**
 * What one planned device may cost a run by silence, however many addresses and services it has. How many questions make silence sure is
 * none of this file's (silence.ts): a look that fits into what is left of the device's time is left as it is. One that does not is ended
 * when the time is up, and its silence says nothing. Pure but for the clock and the timers.
 *
 * All silent looks at a device wait together, so that its time goes by once. Where something of the device answers, what is left is asked
 * briefly all the same: it may answer too. Where nothing does, nothing more is asked.
 */
import { bounded } from '../probe/bound.js';
import type { NotRun } from '../sighting/types.js';
import type { Wish } from './slots.js';
import { createVainTime, type VainTime } from './vain-time.js';

export interface SilenceLimits {
  /** Waiting in silence for one device, all together. */
  readonly silentMs: number;
  /** A look at a device that answers elsewhere, after its time is up. */
  readonly briefMs: number;
}

export interface SilentLooks {
  /** A look begins; undefined, and nothing sent, where the time of the device is up. */
  begin(device: string, wanted: Wanted, outer: AbortSignal, slowness?: number): Look | undefined;
  /** Whether a look that waits for its turn would still begin. */
  isOpen(device: string, wanted: Wanted, slowness?: number): boolean;
  /** Nothing of the device has answered so far. */
  isSilent(device: string): boolean;
  /** What decides when a look that waits for its turn comes. */
  wish(device: string, wanted: Wanted): Wish;
  usedUp(device: string): NotRun;
  /** Devices of which something was not looked at, or not for long enough. */
  cut(): readonly string[];
}

export interface Wanted {
  /** How long it takes until its silence is sure. */
  readonly needMs: number;
  /** Somebody is there. Where nobody is known to be, all looks at an address settle it together, so that one address comes after the other. */
  readonly there?: boolean | undefined;
  /** How many come before it at the same address: each address is asked the first before any the second. `BESIDE`: it settles nothing. */
  readonly round?: number | undefined;
  /** An address of which an echo is all there is to ask. The first such of a device is asked to the end: some systems' ping takes a second or two for each echo. */
  readonly echoAlone?: string | undefined;
  /** It was asked before and was silent: of no use unless there is time for all of it. */
  readonly again?: boolean | undefined;
}

export interface Look {
  /** Aborts with the outer one, and when the time of the device is up. */
  readonly signal: AbortSignal;
  /** Something answered: whatever follows is no silence, and is not ended. */
  answered(): void;
  /** It is over, in every case. True where it was ended before its silence was sure. */
  end(silent: boolean): boolean;
}

/** The round of what decides no verdict where a planned service is asked as well. */
export const BESIDE = 1_000;
/** Less than this is no time to ask anything, in milliseconds. */
const NOTHING_MS = 100;

interface Spent {
  readonly time: VainTime<{ readonly fromMs: number }>;
  answered: boolean;
  /** The first address of which an echo is all there is to ask. */
  echoAlone?: string | undefined;
}

export function createSilentLooks(
  { silentMs, briefMs }: SilenceLimits,
  now: () => number = () => performance.now(),
): SilentLooks {
  const devices = new Map<string, Spent>();
  const cut = new Set<string>();
  const spentOf = (device: string): Spent => {
    const known = devices.get(device) ?? { time: createVainTime(briefMs, now), answered: false };
    devices.set(device, known);
    return known;
  };
  const leftMs = (device: string, slowness: number): number =>
    silentMs * slowness - spentOf(device).time.spentMs();
  /** How long a look may take; undefined where it is left undone. */
  const limitMs = (device: string, wanted: Wanted, slowness: number): number | undefined => {
    const { needMs, again, echoAlone } = wanted;
    if (echoAlone !== undefined && spentOf(device).echoAlone === echoAlone) return Number.POSITIVE_INFINITY;
    const left = leftMs(device, slowness);
    if (again === true && needMs > left) return undefined;
    const limit = Math.max(left, spentOf(device).answered ? briefMs * slowness : 0);
    return limit < NOTHING_MS ? undefined : limit;
  };

  return {
    isOpen: (device, wanted, slowness = 1) => limitMs(device, wanted, slowness) !== undefined,
    isSilent: (device) => !spentOf(device).answered,
    wish: (device, { needMs, there, round = 0 }) => ({
      needMs,
      round,
      leftMs: () => (there !== true || spentOf(device).answered ? undefined : leftMs(device, 1)),
    }),
    begin(device, wanted, outer, slowness = 1) {
      const limit = limitMs(device, wanted, slowness);
      if (limit === undefined) return undefined;
      const spent = spentOf(device);
      spent.echoAlone ??= wanted.echoAlone;
      const one = { fromMs: now() };
      spent.time.open.add(one);
      const bound = wanted.needMs <= limit ? undefined : bounded(outer, limit);
      return {
        signal: bound?.signal ?? outer,
        answered() {
          bound?.lift();
          spent.answered = true;
          spent.time.open.delete(one);
        },
        end(silent) {
          const wasCut = bound?.reached() === true;
          bound?.end();
          if (spent.time.open.delete(one) && (silent || wasCut)) spent.time.add(one.fromMs);
          return wasCut;
        },
      };
    },
    usedUp(device) {
      cut.add(device);
      const { answered } = spentOf(device);
      return {
        outcome: 'not-run',
        cause: 'bound-reached',
        reason: `so much of ${device} is silent that its time was up before this was asked often enough`,
        mend: answered
          ? `see to the services of ${device} that are silent, then run the check again`
          : `see why ${device} answers nothing, then run the check again`,
      };
    },
    cut: () => [...cut],
  };
}

/**
 * While nothing of a device answers: of what still comes to its end in time the first round goes first, and of that what takes longest to be
 * sure of. Where nothing does, who asked first.
 */
export function nextInTime(waiting: readonly (Wish | undefined)[]): number {
  const left = waiting.find((wish) => wish !== undefined)?.leftMs();
  if (left === undefined) return 0;
  let best = 0;
  let found: Wish | undefined;
  for (const [index, wish] of waiting.entries()) {
    if (wish === undefined || wish.needMs > left) continue;
    const goesFirst =
      found === undefined ||
      wish.round < found.round ||
      (wish.round === found.round && wish.needMs > found.needMs);
    if (!goesFirst) continue;
    best = index;
    found = wish;
  }
  return best;
}
