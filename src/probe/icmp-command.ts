/**
 * The ping command of each system, by the `ping` package. Its own runner is not used: it offers no way to stop a running
 * ping, and its parsers throw inside an event handler, where nobody can catch, on output they do not know.
 */
import factory from 'ping/lib/builder/factory.js';
import type { Patience } from './types.js';

export interface PingCommand {
  readonly command: string;
  readonly args: readonly string[];
  /** When to stop a ping that does not end by itself, in milliseconds. */
  readonly killAfterMs: number;
}

export type PingFlavour = 'iputils' | 'busybox' | 'bsd' | 'windows' | 'other';

/**
 * Whether `ping6` of macOS takes intervals below one second from this user: before macOS 15 (Darwin 24) from root alone (from memory; its
 * ping6(8) says so of FreeBSD's, too). `release`: os.release().
 */
export function hasShortPing6(release: string, isRoot: boolean): boolean {
  return isRoot || Number.parseInt(release, 10) >= 24;
}

/** Gap between echoes in seconds. Below 0.2 iputils wants root (ping(8), option -i). */
const INTERVAL_S = 0.2;
/** What starting the program and printing may take on a slow machine, in milliseconds. */
const SLACK_MS = 1500;

export interface PingShape {
  readonly platform: string;
  readonly flavour?: PingFlavour | undefined;
  /** Without the options that only some pings know: interval. */
  readonly plain?: boolean | undefined;
  /** `ping -6` instead of `ping6`, which newer systems have no more. */
  readonly oneProgram?: boolean | undefined;
}

/** Undefined where the package does not know the system. */
export function pingCommand(address: string, patience: Patience, shape: PingShape): PingCommand | undefined {
  const { platform } = shape;
  if (!factory.isPlatformSupport(platform)) return undefined;
  const v6 = address.includes(':');
  const attempts = Math.max(1, patience.attempts);
  const windows = factory.isWindow(platform);
  const linux = !windows && !factory.isMacOS(platform);
  const extra = windows || attempts === 1 || shape.plain === true ? [] : ['-i', String(INTERVAL_S)];
  if (linux && v6 && shape.oneProgram === true) extra.push('-6');
  const seconds = timeoutSeconds(patience.timeoutMs, linux && shape.flavour !== 'iputils');
  const command = factory.getExecutablePath(platform, v6 && !(linux && shape.oneProgram === true));
  const written = factory.createBuilder(platform).getCommandArguments(address, {
    numeric: true,
    // The package refuses a timeout for the separate IPv6 program of macOS, which has none.
    timeout: factory.isMacOS(platform) && v6 ? false : seconds,
    min_reply: attempts,
    v6,
    extra,
  });
  // "Not required to identify the target host with an IPv4 address", nor -6 (learn.microsoft.com, ping); Wine's ping knows neither.
  const args = windows ? written.filter((word) => word !== '-4' && word !== '-6') : written;
  const gapMs = windows ? 1000 + seconds * 1000 : shape.plain === true ? 1000 : INTERVAL_S * 1000;
  return { command, args, killAfterMs: Math.ceil((attempts - 1) * gapMs + seconds * 1000 + SLACK_MS) };
}

/** busybox and old iputils read whole seconds only. */
function timeoutSeconds(timeoutMs: number, whole: boolean): number {
  return whole ? Math.max(1, Math.ceil(timeoutMs / 1000)) : Math.max(0.05, timeoutMs / 1000);
}
