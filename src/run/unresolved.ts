import type { IcmpSighting, TcpSighting } from '../sighting/types.js';
import type { SignOfLife } from './sign-of-life.js';

/**
 * "No route to host" for an address that somebody on our link claims: as a rule it was the laptop's own ARP question, put anew meanwhile,
 * whose answer got lost, and what waited for it never left (net/core/neighbour.c of Linux, neigh_invalidate). It says nothing of the device
 * before it has come again.
 */
export function isUnresolved(seen: IcmpSighting | TcpSighting, { claimed }: SignOfLife): boolean {
  return claimed && seen.outcome === 'unreachable' && seen.cause === 'host-unreachable';
}

/** So many times more it is asked then. A device that says so itself (a filter) says it each time. */
export const UNRESOLVED_AGAIN = 3;
