/** Whether the laptop itself has an address, and how to get nearer to one. Loopback addresses are everybody's own. */
import { hostOf, isLoopback } from '../plan/address.js';
import type { Seen } from './view.js';

export function isOwn({ sighting, evidence }: Seen): boolean {
  if (isLoopback(sighting.address)) return false;
  return (
    sighting.own ||
    evidence.vantage.interfaces.some(({ addresses }) =>
      addresses.some((one) => hostOf(one) === sighting.address),
    )
  );
}

/** The commands that bring the laptop nearer, where there are any. */
export function mendOf({ sighting }: Seen): string[] {
  return sighting.mend === undefined
    ? []
    : [`to look from here: ${sighting.mend.add}`, `afterwards: ${sighting.mend.remove}`];
}
