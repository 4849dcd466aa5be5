/** The system's ping with don't-fragment set and a given size. Options from the manual pages, of Windows from its usage (learn.microsoft.com, ping); macOS from memory. */
import type { PingFlavour } from './icmp-command.js';

export interface MtuCommand {
  readonly command: string;
  readonly args: readonly string[];
  readonly killAfterMs: number;
}

export interface MtuPing {
  readonly platform: string;
  readonly flavour?: PingFlavour | undefined;
  /**
   * `probe` sends whatever the interface takes, without regard to what the kernel remembers of the path (newer iputils alone);
   * `do` is refused locally above the remembered size.
   */
  readonly discovery: 'probe' | 'do';
  /** macOS: `ping6` takes no interval below a second from this user. */
  readonly wholeSeconds?: boolean | undefined;
}

/** Octets around an echo's payload: IP header 20 (RFC 791 §3.1) or 40 (RFC 8200 §3), ICMP header 8 (RFC 792, RFC 4443 §4.1). */
export function echoOverhead(address: string): 28 | 48 {
  return address.includes(':') ? 48 : 28;
}

/** Gap between echoes in seconds. Below 0.2 iputils wants root (ping(8), option -i); Windows waits a second of its own. */
const GAP_S = 0.2;
const START_MS = 1500;

export function mtuCommand(
  address: string,
  mtu: number,
  { count, waitMs }: { readonly count: number; readonly waitMs: number },
  { platform, discovery, wholeSeconds = false }: MtuPing,
): MtuCommand {
  const v6 = address.includes(':');
  const size = String(mtu - echoOverhead(address));
  const slow = wholeSeconds && v6 && platform === 'darwin';
  const gap = slow ? [] : ['-i', String(GAP_S)];
  const killAfterMs =
    START_MS + count * (platform === 'win32' || slow ? 1000 : GAP_S * 1000) + count * waitMs;
  if (platform === 'win32') {
    const args = ['-n', String(count), '-w', String(Math.ceil(waitMs)), '-f', '-l', size, address];
    return { command: 'ping', args, killAfterMs };
  }
  const tail = ['-c', String(count), '-s', size, ...gap];
  if (platform === 'darwin') {
    // ping6 has no option for the time to wait; -D is don't-fragment in both.
    return v6
      ? { command: 'ping6', args: ['-n', '-D', ...tail, address], killAfterMs }
      : {
          command: 'ping',
          args: ['-n', '-D', '-W', String(Math.ceil(waitMs)), ...tail, address],
          killAfterMs,
        };
  }
  const wait = ['-W', String(Math.max(0.05, waitMs / 1000))];
  return {
    command: 'ping',
    args: ['-n', ...(v6 ? ['-6'] : []), '-M', discovery, ...wait, ...tail, address],
    killAfterMs,
  };
}

/** Why a system's ping cannot measure this, or undefined where it can. */
export function cannotMeasure(address: string, { platform, flavour }: Omit<MtuPing, 'discovery'>) {
  if (flavour === 'busybox') {
    return {
      reason: "the ping of busybox cannot set don't-fragment",
      mend: 'install ping of iputils',
    };
  }
  if (platform === 'win32' && address.includes(':')) {
    return {
      reason: "the ping of Windows cannot set don't-fragment for IPv6: it would cut the packet and pass",
    };
  }
  return undefined;
}
