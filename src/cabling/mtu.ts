/** What echoes and the port's own setting tell of the MTU of an endpoint. */

import type { Seen } from '../evidence/view.js';
import type { Endpoint } from '../plan/model.js';
import type { Cause, MtuSighting } from '../sighting/types.js';
import type { Cables } from './cables.js';
import { nameOfLink } from './link-state.js';
import type { FoundLink } from './links.js';

/** What every Ethernet carries (RFC 894; IEEE 802.3). A device that takes no echo of this size on its own link limits echo, not MTU. */
export const ETHERNET_MTU = 1500;

export type PathSeen =
  | { readonly kind: 'passes'; readonly mtu: number; readonly vantage: string }
  | {
      readonly kind: 'smaller';
      readonly mtu: number;
      readonly told: 'router' | 'silent';
      readonly vantage: string;
    }
  /** Larger echoes vanish below what every Ethernet carries. */
  | {
      readonly kind: 'echo-limited';
      readonly mtu: number;
      readonly vantage: string;
      readonly onLink: boolean;
    }
  /** The laptop's own port carries no more. */
  | {
      readonly kind: 'laptop-limits';
      readonly mtu: number;
      readonly interface: string;
      readonly vantage: string;
    }
  /** Not measured; the reason and the fix as the probe has them. */
  | {
      readonly kind: 'not-measured';
      readonly cause: Cause;
      readonly reason?: string | undefined;
      readonly mend?: string | undefined;
      readonly vantage: string;
    }
  | { readonly kind: 'nobody-looked' };

export interface MtuSeen {
  readonly path: PathSeen;
  /** ifMtu of the device's own port. */
  readonly port?:
    | { readonly mtu: number; readonly name: string; readonly by: string; readonly vantage: string }
    | undefined;
}

/** `mtu` of the endpoint, else of its network where it has an address there. Fibre Channel has none. */
export function plannedMtu(cables: Cables, endpoint: Endpoint): number | undefined {
  if (endpoint.media === 'fc') return undefined;
  return endpoint.mtu ?? (endpoint.address === undefined ? undefined : cables.view.networkOf(endpoint)?.mtu);
}

/** From the same link before routed, as the way through a router is not the path that is planned. */
export function mtuSeen(
  cables: Cables,
  endpoint: Endpoint,
  planned: number,
  found: FoundLink | undefined,
): MtuSeen {
  const looks = endpoint.address === undefined ? [] : cables.view.seen(endpoint.address);
  const port = portOf(found);
  return { path: pathOf(looks, planned), ...(port === undefined ? {} : { port }) };
}

function portOf(found: FoundLink | undefined): MtuSeen['port'] {
  const mtu = found?.link.mtu;
  if (found === undefined || mtu === undefined || mtu <= 0) return undefined;
  return { mtu, name: nameOfLink(found.link), by: found.by, vantage: found.vantage };
}

function pathOf(looks: readonly Seen[], planned: number): PathSeen {
  const onLink = looks.filter(({ sighting }) => sighting.reach === 'on-link');
  for (const some of [onLink, looks]) {
    const passing = some.find(({ sighting }) => passes(sighting.mtu, planned));
    if (passing !== undefined)
      return { kind: 'passes', mtu: planned, vantage: passing.evidence.vantage.name };
    const small = some.find(({ sighting }) => isSmaller(sighting.mtu, planned));
    if (small !== undefined) return smaller(small);
  }
  const limited = looks.find(({ sighting: { mtu } }) => mtu.outcome === 'smaller' && mtu.told === 'local');
  if (limited?.sighting.mtu.outcome === 'smaller')
    return {
      kind: 'laptop-limits',
      mtu: limited.sighting.mtu.mtu,
      interface: limited.sighting.interface ?? '',
      vantage: limited.evidence.vantage.name,
    };
  return notMeasured(looks[0]);
}

function smaller({ evidence, sighting }: Seen): PathSeen {
  const vantage = evidence.vantage.name;
  const { mtu } = sighting;
  if (mtu.outcome !== 'smaller' || mtu.told === 'local') return { kind: 'nobody-looked' };
  if (mtu.told === 'silent' && mtu.mtu < ETHERNET_MTU)
    return { kind: 'echo-limited', mtu: mtu.mtu, vantage, onLink: sighting.reach === 'on-link' };
  return { kind: 'smaller', mtu: mtu.mtu, told: mtu.told, vantage };
}

function notMeasured(look: Seen | undefined): PathSeen {
  if (look === undefined) return { kind: 'nobody-looked' };
  const { mtu } = look.sighting;
  const vantage = look.evidence.vantage.name;
  if (mtu.outcome === 'not-run')
    return { kind: 'not-measured', cause: mtu.cause, reason: mtu.reason, mend: mtu.mend, vantage };
  return {
    kind: 'not-measured',
    cause: mtu.outcome === 'no-reply' ? (mtu.cause ?? 'timeout') : 'unknown',
    vantage,
  };
}

function passes(mtu: MtuSighting, planned: number): boolean {
  return (mtu.outcome === 'passes' || mtu.outcome === 'smaller') && mtu.mtu >= planned;
}

function isSmaller(mtu: MtuSighting, planned: number): boolean {
  return mtu.outcome === 'smaller' && mtu.told !== 'local' && mtu.mtu < planned;
}
