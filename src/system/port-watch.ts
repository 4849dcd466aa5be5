/**
 * Whether the laptop's own ports kept their link and their addresses while a run went on. What was asked while a port was away proves
 * nothing about the other side.
 */
import { isLinkLocal } from '../plan/address.js';
import type { System } from './types.js';

export interface PortWatch {
  /** The port was without link, or without an address that it had at the start, at some moment since this one (clock of the watch). */
  lostSince(port: string, sinceMs: number): boolean;
  /** Clock of the watch, in milliseconds. */
  now(): number;
  /** What happened, as sentences for the result. */
  notes(): readonly string[];
  stop(): void;
}

/** Node asks the kernel in well under a millisecond. */
const EVERY_MS = 500;

export function watchPorts(
  { networkInterfaces }: Pick<System, 'networkInterfaces'>,
  clock: { now(): number } = performance,
  everyMs: number = EVERY_MS,
): PortWatch {
  const atStart = addressesByPort(networkInterfaces());
  const lastLostMs = new Map<string, number>();
  const away = new Set<string>();
  const changes = new Map<string, Set<string>>();
  const say = (port: string, what: string): void => {
    changes.set(port, (changes.get(port) ?? new Set()).add(what));
  };
  const look = (): void => {
    const now = addressesByPort(networkInterfaces());
    for (const [port, addresses] of atStart) {
      const left = now.get(port);
      const lost = addresses.filter((address) => left?.includes(address) !== true);
      if (lost.length > 0) {
        lastLostMs.set(port, clock.now());
        away.add(port);
        say(port, left === undefined ? 'lost its link or its addresses' : `lost ${lost.join(', ')}`);
      } else if (away.delete(port)) {
        // Between two looks it may have come back at any moment.
        lastLostMs.set(port, clock.now());
        say(port, 'came back');
      }
    }
  };
  const timer = setInterval(look, everyMs);
  timer.unref();
  return {
    lostSince: (port, sinceMs) => {
      look();
      return (lastLostMs.get(port) ?? Number.NEGATIVE_INFINITY) >= sinceMs;
    },
    now: () => clock.now(),
    notes: () =>
      [...changes].map(
        ([port, what]) =>
          `This laptop's ${port} ${[...what].join(', then ')} while the run went on. What was asked meanwhile is not counted; look again.`,
      ),
    stop: () => clearInterval(timer),
  };
}

/** Temporary addresses of IPv6 come and go by themselves (RFC 8981), so only IPv4 and link-local ones are held to be kept. */
function addressesByPort(listed: ReturnType<System['networkInterfaces']>): Map<string, string[]> {
  return new Map(
    Object.entries(listed).map(([port, rows = []]) => [
      port,
      rows.flatMap(({ address, family }) => (family === 'IPv4' || isLinkLocal(address) ? [address] : [])),
    ]),
  );
}
