/**
 * What one planned device may cost a run, however many of its services hang. By planned device and not by address: that is what the pace
 * goes by (pace.ts), so that the addresses of a device wait for each other and their times add up. Pure but for the clock.
 *
 * Only waiting in vain counts: conversations over a connection that was taken, pages and tables that end without what was asked for. Those
 * at the same time count once. What answers costs nothing, however slow, and neither does the patient look at what stays silent, which has
 * its own bound (silent-looks.ts). Where much gets lost, it is the network that is slow, and the device has twice the time.
 */
import type { Patience } from '../probe/types.js';
import type { NotRun } from '../sighting/types.js';
import { createSilentLooks, type SilenceLimits, type SilentLooks } from './silent-looks.js';
import { createVainTime, type VainTime } from './vain-time.js';

export interface ShareLimits extends SilenceLimits {
  /** Waiting in vain for one device, all together. */
  readonly totalMs: number;
  /** What a further service is waited for, once many of the device hang: whoever answers at all does so well within (common practice, no source). */
  readonly briefMs: number;
  /** So many are many: as many as are asked of one device at a time (pace.ts). */
  readonly many: number;
}

/** With the pace, the connections and one short look at what is left, no device comes to ten seconds. */
export const DEFAULT_SHARE: ShareLimits = { totalMs: 8_500, silentMs: 9_000, briefMs: 1_000, many: 6 };

export interface DeviceShares {
  /** The looks that stay silent. */
  readonly silent: SilentLooks;
  /** A question that may hang begins; undefined where the time of the device is used up. `slowness`: 2 where the network loses much. */
  begin(device: string, usual: Patience, slowness?: number): Share | undefined;
  /** A table of the device was waited for in vain since then, which counts once that is known: a large table takes its time. */
  waitedInVain(device: string, fromMs: number): void;
  /** What is left of the time of a device, in milliseconds; 0 where it is too little to ask anything. */
  leftMs(device: string, slowness?: number): number;
  /** Why a question to the device was not put any more. */
  usedUp(device: string): NotRun;
  /** Devices of which something was not asked, or not for its whole time. */
  cut(): readonly string[];
}

export interface Share {
  /** The usual one, or what is left of it. */
  readonly patience: Patience;
  /** Its whole time to say the first word, and to say all. */
  readonly wholeWord: boolean;
  readonly wholeTalk: boolean;
  /** From now on it waits over a connection that was taken: what went before is none of the device's time. */
  talks(): void;
  /** It is over. `inVain`: without what was asked for, so that it counts. */
  end(inVain: boolean): void;
  /** Its silence says nothing, for it was cut short. */
  cutShort(): NotRun;
}

/** Less than this is no time to ask anything, in milliseconds. */
const NOTHING_MS = 100;

interface Spent {
  readonly time: VainTime<Waiting>;
  hung: number;
}

interface Waiting {
  readonly fromMs: number;
  readonly usualMs: number;
}

export function createDeviceShares(
  limits: ShareLimits = DEFAULT_SHARE,
  now: () => number = () => performance.now(),
): DeviceShares {
  const devices = new Map<string, Spent>();
  const cut = new Set<string>();
  const spentOf = (device: string): Spent => {
    const known = devices.get(device) ?? { time: createVainTime<Waiting>(limits.briefMs, now), hung: 0 };
    devices.set(device, known);
    return known;
  };
  const leftMs = (device: string, slowness = 1): number => {
    const left = limits.totalMs * slowness - spentOf(device).time.spentMs();
    return left < NOTHING_MS ? 0 : left;
  };
  const notRun = (device: string, reason: string): NotRun => {
    cut.add(device);
    return {
      outcome: 'not-run',
      cause: 'bound-reached',
      reason,
      mend: `see to the services of ${device} that hang, then run the check again`,
    };
  };

  const waitedInVain = (device: string, fromMs: number): void => spentOf(device).time.add(fromMs);
  const silent = createSilentLooks(limits, now);

  return {
    silent,
    leftMs,
    waitedInVain,
    begin(device, usual, slowness = 1) {
      const left = leftMs(device, slowness);
      if (left === 0) return undefined;
      const spent = spentOf(device);
      const slow = [...spent.time.open].filter(({ fromMs, usualMs }) => now() - fromMs > usualMs / 2).length;
      const brief = spent.hung + slow >= limits.many;
      const fullTalkMs = Math.min(2 * usual.timeoutMs, limits.totalMs * slowness);
      const timeoutMs = Math.min(usual.timeoutMs, left, brief ? limits.briefMs * slowness : Infinity);
      const talkMs = Math.min(2 * timeoutMs, left);
      let one: Waiting | undefined;
      return {
        patience: { ...usual, timeoutMs, talkMs },
        wholeWord: timeoutMs >= usual.timeoutMs,
        wholeTalk: timeoutMs >= usual.timeoutMs && talkMs >= fullTalkMs,
        talks() {
          if (one !== undefined) return;
          one = { fromMs: now(), usualMs: timeoutMs };
          spent.time.open.add(one);
        },
        end(inVain) {
          if (one === undefined || !spent.time.open.delete(one) || !inVain) return;
          if (now() - one.fromMs > one.usualMs / 2) spent.hung += 1;
          waitedInVain(device, one.fromMs);
        },
        cutShort: () =>
          notRun(device, `so much of ${device} hangs that this was waited for only ${seconds(timeoutMs)}`),
      };
    },
    usedUp: (device) => notRun(device, `${device} had taken up all the time that one device may cost`),
    cut: () => [...new Set([...cut, ...silent.cut()])],
  };
}

function seconds(ms: number): string {
  return `${Math.round(ms / 100) / 10} s`;
}
