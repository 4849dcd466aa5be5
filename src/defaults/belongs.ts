/** Whose device answers on a default address. */

import { claimsIn } from '../evidence/claim-index.js';
import type { View } from '../evidence/view.js';
import { devicesThatFit, fitOfCandidate } from '../identity/fit.js';
import { identityOf } from '../identity/seen-identity.js';
import type { Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { DefaultSeen } from './defaults-seen.js';

const judged = new WeakMap<DefaultSeen, Belongs>();

/** A MAC shows an endpoint; what a device says of itself, and its MAC prefix, show a device alone. */
export type ShownBy =
  | { readonly kind: 'planned-mac' }
  | { readonly kind: 'second-address'; readonly at: readonly string[] }
  | { readonly kind: 'identity' }
  | { readonly kind: 'mac-prefix' };

export function sayShownBy(by: ShownBy): string {
  switch (by.kind) {
    case 'planned-mac':
      return 'its MAC is the planned one';
    case 'second-address':
      return `the same MAC answers at ${by.at.join(', ')}, so it is a second address`;
    case 'identity':
      return 'what it says of itself fits';
    case 'mac-prefix':
      return 'its MAC prefix fits';
  }
}

export interface Belongs {
  /** Endpoint ids or device names that the answering device is shown to be, most certain first; empty where nothing shows it. */
  readonly shown: readonly string[];
  /** What shows it; absent where nothing does. */
  readonly by?: ShownBy | undefined;
  /** `shown` are endpoint ids, not devices. */
  readonly exact: boolean;
  /** The plan says enough of every device with this default to know that what answers is none of them, nor any other. */
  readonly stranger: boolean;
}

export function belongsTo(view: View, seen: DefaultSeen): Belongs {
  const known = judged.get(seen);
  if (known !== undefined) return known;
  const belongs = workOut(view, seen);
  judged.set(seen, belongs);
  return belongs;
}

function workOut(view: View, seen: DefaultSeen): Belongs {
  const { plan } = view;
  const macs = seen.claimed.claimants.map(({ mac }) => mac);
  const index = indexOf(plan);
  const byMac = macs.flatMap((mac) => index.withMac(mac)).map(({ id }) => id);
  if (byMac.length > 0) return { shown: byMac, by: { kind: 'planned-mac' }, exact: true, stranger: false };
  const atPlanned = macs
    .flatMap((mac) => claimsIn(view).plannedAt(mac))
    .filter(({ address }) => address !== seen.address);
  if (atPlanned.length > 0)
    return {
      shown: atPlanned.map(({ id }) => id),
      by: { kind: 'second-address', at: atPlanned.flatMap(({ address }) => address ?? []) },
      exact: true,
      stranger: false,
    };
  const identity = identityOf(seen.looks);
  const fitting = identity === undefined ? [] : devicesThatFit(plan, identity);
  if (fitting.length > 0)
    return {
      shown: [...new Set(fitting.map(({ device }) => device))],
      by: { kind: 'identity' },
      exact: false,
      stranger: false,
    };
  const prefixed = index.withPrefixOf(macs);
  const mine = prefixed.filter(({ name }) => seen.devices.includes(name));
  if (prefixed.length > 0)
    return {
      shown: (mine.length > 0 ? mine : prefixed).map(({ name }) => name),
      by: { kind: 'mac-prefix' },
      exact: false,
      stranger: false,
    };
  return {
    shown: [],
    exact: false,
    stranger: seen.devices.every((device) => ruledOut(plan, seen, device, macs)),
  };
}

/** Every way in which what answers could be this device is excluded by a stated MAC, prefix or identity. */
function ruledOut(plan: Plan, seen: DefaultSeen, name: string, macs: readonly string[]): boolean {
  const device = indexOf(plan).device(name);
  const ports = seen.endpoints.filter((endpoint) => endpoint.device === name);
  if (macs.length > 0 && (device?.macPrefixes.length ?? 0) > 0) return true;
  if (macs.length > 0 && ports.length > 0 && ports.every(({ mac }) => mac !== undefined)) return true;
  const identity = identityOf(seen.looks);
  if (identity === undefined) return false;
  const controllers = [...new Set(ports.map(({ controller }) => controller))];
  return (
    controllers.length > 0 &&
    controllers.every((controller) => fitOfCandidate(device, controller, identity).mismatches.length > 0)
  );
}
