/**
 * macOS 15 and newer keep a program from its own link until the user allows it: every socket says "no route to host" (Apple's technical note
 * TN3179 "Understanding local network privacy"; root, and what runs in the system's own Terminal, are let through). Pure.
 */
import type { TableRow } from '../system/types.js';

export interface Tries {
  /** Datagrams for the port that the system took. */
  readonly sent: number;
  /** Datagrams for which it said "no route to host" at once. */
  readonly unreachable: number;
}

/**
 * A real "no route" is one address's, or there is nobody on that link at all. Where every question fails alike while the neighbour table
 * has somebody on that very port (the system itself does talk to its router), it is the permission.
 */
export function isLocalNetworkDenied(
  platform: string,
  port: string,
  { sent, unreachable }: Tries,
  rows: readonly TableRow[],
): boolean {
  if (platform !== 'darwin' || sent > 0 || unreachable === 0) return false;
  return rows.some((row) => row.interface === port && row.mac !== undefined && row.state !== 'own-static');
}

export const LOCAL_NETWORK_DENIED = {
  cause: 'local-network-denied',
  reason:
    'macOS keeps this program from the local network: every question to it is answered "no route to host"',
  mend: 'open System Settings, Privacy & Security, Local Network, allow the program that this window belongs to, and run it again; or run it with sudo',
} as const;
