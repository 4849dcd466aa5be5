/** Which addresses a survey with --networks asks beside the plan's own. Pure. */
import { blockOf, hostsOf, usableRange } from '../plan/address.js';
import type { Plan } from '../plan/model.js';

/** DESIGN 5: a network larger than this is never swept. */
const SMALLEST_SWEPT_PREFIX = 20;

export interface Sweep {
  readonly addresses: readonly string[];
  readonly swept: readonly { readonly network: string; readonly addresses: number }[];
  readonly left: readonly { readonly network: string; readonly reason: string }[];
}

/** IPv6 networks are not swept: even a /64 has more addresses than a visit has seconds (RFC 7707 §4). */
export function sweepOf(plan: Plan): Sweep {
  const addresses = new Set<string>();
  const swept: { network: string; addresses: number }[] = [];
  const left: { network: string; reason: string }[] = [];
  for (const { name, cidr } of plan.networks) {
    if (cidr === undefined) continue;
    const { family, prefixBits } = blockOf(cidr);
    if (family === 6) left.push({ network: name, reason: 'IPv6 networks are too large to ask one by one' });
    else if (prefixBits < SMALLEST_SWEPT_PREFIX)
      left.push({ network: name, reason: `${cidr} is larger than /${SMALLEST_SWEPT_PREFIX}` });
    else {
      for (const address of hostsOf(cidr)) addresses.add(address);
      swept.push({ network: name, addresses: Number(usableRange(cidr).count) });
    }
  }
  return { addresses: [...addresses], swept, left };
}
