/** What the scheduler needs to know of the place it looks from. The real one joins src/vantage, src/kit and src/presence. */
import { isLoopback } from '../plan/address.js';
import type { Plan } from '../plan/model.js';
import type { Frames, Silence, TableRoom } from '../presence/find-present.js';
import type { Evidence, LldpNeighbour, PresenceSighting, ProxyArpCheck, Vantage } from '../sighting/types.js';
import type { Standpoint } from './blank.js';

export interface PresenceRequest {
  readonly addresses: readonly string[];
  readonly vantage: Vantage;
  /** Which planned device an address belongs to: one MAC for three devices or more looks like proxy ARP. */
  readonly deviceOf: ReadonlyMap<string, string>;
  /** Every address of the plan, so that the proxy question uses another. */
  readonly planned: ReadonlySet<string>;
  readonly networks: Plan['networks'];
  readonly tableRoom?: TableRoom | undefined;
  readonly silence?: Silence | undefined;
  readonly frames?: Frames | undefined;
}

export interface PresenceAnswer {
  readonly presence: ReadonlyMap<string, PresenceSighting>;
  readonly ownNeighbours: readonly LldpNeighbour[];
  readonly proxyArp: readonly ProxyArpCheck[];
  readonly notes: readonly string[];
}

export interface HeardThroughout extends Pick<PresenceAnswer, 'ownNeighbours' | 'notes'> {
  /** Who else claims an address of the laptop itself. */
  readonly ownClaimed?: Evidence['ownClaimed'] | undefined;
}

export interface Surroundings {
  vantage(name: string | undefined): Promise<Vantage>;
  standpoint(vantage: Vantage, address: string, plan: Plan): Standpoint;
  /** Settles who is present on the links; calls `onFound` as soon as one address is certain. */
  findPresent(
    request: PresenceRequest,
    signal: AbortSignal,
    onFound: (address: string, presence: PresenceSighting) => void,
  ): Promise<PresenceAnswer>;
  /** Ends the listening that `findPresent` began, and tells what was heard through the whole run. */
  endListening?(): Promise<HeardThroughout>;
}

/** Loopback addresses are asked like any other, but nobody claims them by ARP. */
export function needsPresence(standpoint: Standpoint, address: string): boolean {
  return standpoint.reach === 'on-link' && !isLoopback(address);
}
