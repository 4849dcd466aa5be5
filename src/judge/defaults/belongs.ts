/** Whose box answers on a default address. */
import type { Plan } from '../../plan/model.js';
import { boxesThatFit, fitOfBox } from '../identity/fit.js';
import { claimedBy } from '../seen/claims.js';
import type { View } from '../seen/view.js';
import type { DefaultSeen } from './look.js';

export interface Belongs {
  /** Endpoint ids or device names that the box is shown to be, most certain first; empty where nothing shows it. */
  readonly shown: readonly string[];
  readonly because?: string | undefined;
  /** The plan says enough of every device with this default to know that the box is none of them, nor any other. */
  readonly stranger: boolean;
}

export function belongsTo(view: View, seen: DefaultSeen): Belongs {
  const { plan } = view;
  const macs = seen.claimed.claimants.map(({ mac }) => mac);
  const byMac = plan.endpoints
    .filter(({ mac }) => mac !== undefined && macs.includes(mac))
    .map(({ id }) => id);
  if (byMac.length > 0) return { shown: byMac, because: 'its MAC is the planned one', stranger: false };
  const atPlanned = plan.endpoints.filter(
    ({ address }) =>
      address !== undefined &&
      address !== seen.address &&
      claimedBy(view, view.seen(address).slice(0, 1)).claimants.some(({ mac }) => macs.includes(mac)),
  );
  if (atPlanned.length > 0)
    return {
      shown: atPlanned.map(({ id }) => id),
      because: `the same MAC answers at ${atPlanned.map(({ address }) => address).join(', ')}, so it is a second address`,
      stranger: false,
    };
  const identity = identityAt(seen);
  const boxes = identity === undefined ? [] : boxesThatFit(plan, identity);
  if (boxes.length > 0)
    return {
      shown: [...new Set(boxes.map(({ device }) => device))],
      because: 'what it says of itself fits',
      stranger: false,
    };
  const prefixed = plan.devices.filter(({ macPrefixes }) =>
    macPrefixes.some((prefix) => macs.some((mac) => mac.startsWith(prefix))),
  );
  const mine = prefixed.filter(({ name }) => seen.devices.includes(name));
  if (prefixed.length > 0)
    return {
      shown: (mine.length > 0 ? mine : prefixed).map(({ name }) => name),
      because: 'its MAC prefix fits',
      stranger: false,
    };
  return { shown: [], stranger: seen.devices.every((device) => ruledOut(plan, seen, device, macs)) };
}

/** Every way in which this box could be the device is excluded by a stated MAC, prefix or identity. */
function ruledOut(plan: Plan, seen: DefaultSeen, name: string, macs: readonly string[]): boolean {
  const device = plan.devices.find((one) => one.name === name);
  const ports = seen.endpoints.filter((endpoint) => endpoint.device === name);
  if (macs.length > 0 && (device?.macPrefixes.length ?? 0) > 0) return true;
  if (macs.length > 0 && ports.length > 0 && ports.every(({ mac }) => mac !== undefined)) return true;
  const identity = identityAt(seen);
  if (identity === undefined) return false;
  const controllers = [...new Set(ports.map(({ controller }) => controller))];
  return (
    controllers.length > 0 &&
    controllers.every((controller) => fitOfBox(device, controller, identity).mismatches.length > 0)
  );
}

export function identityAt({
  looks,
}: DefaultSeen): DefaultSeen['looks'][number]['sighting']['identity'] | undefined {
  return looks.map(({ sighting }) => sighting.identity).find((identity) => Object.keys(identity).length > 0);
}
