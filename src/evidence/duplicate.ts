/** Whether two boxes hold one address, and how sure that is. */
import { isVirtualRouterMac } from '../plan/mac.js';
import type { Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import { list } from '../text/sentence.js';
import type { Claimed } from './claims.js';
import type { Seen } from './view.js';

export interface Duplicate {
  readonly macs: readonly string[];
  readonly sure: 'proven' | 'likely';
  readonly why?: string | undefined;
  readonly evidence: readonly string[];
}

/**
 * Two claimants in one look by capture or arping are proof. Seen one after the other in a table, from two places, or as a box
 * that changed between two connections, they are likely. A virtual router's MAC beside its own physical frame source is one box
 * (RFC 9568 §8.1.2, folded in claims.ts); beside another physical MAC it is suspicious and counts as two.
 */
export function duplicateOf(claimed: Claimed, looks: readonly Seen[]): Duplicate | undefined {
  const { claimants, together } = claimed;
  if (claimants.length > 1) {
    const router = claimants.find(({ mac }) => isVirtualRouterMac(mac));
    const why =
      router !== undefined
        ? `${router.mac} is a virtual router's MAC, and another box answers beside it`
        : together
          ? undefined
          : 'the MACs were seen one after the other, not in answer to one question';
    return {
      macs: claimants.map(({ mac }) => mac),
      sure: together ? 'proven' : 'likely',
      ...(why === undefined ? {} : { why }),
      evidence: claimants.flatMap(({ evidence }) => evidence),
    };
  }
  const changed = looks
    .filter(
      ({ sighting: { presence } }) => presence.outcome !== 'claimed' || presence.duplicateCheck !== 'proven',
    )
    .flatMap(({ evidence, sighting }) =>
      (sighting.identity.changed ?? []).map(({ what, first, later }) => ({
        what,
        line: `${evidence.vantage.name}, ${evidence.startedAt}: ${what} was "${first}", then "${later}" in the next connection`,
      })),
    );
  if (changed.length === 0) return undefined;
  return {
    macs: claimants.map(({ mac }) => mac),
    sure: 'likely',
    why: `${list([...new Set(changed.map(({ what }) => what))])} changed between two connections`,
    evidence: [...claimants.flatMap(({ evidence }) => evidence), ...changed.map(({ line }) => line)],
  };
}

/** All claimants are planned MACs of one device, on two controllers or more: the address may have moved between them. */
export function isMovingPair(plan: Plan, macs: readonly string[]): boolean {
  const owners = macs.map((mac) => indexOf(plan).withMac(mac)[0]);
  const devices = new Set(owners.map((owner) => owner?.device));
  const controllers = new Set(owners.map((owner) => owner?.controller));
  return (
    macs.length > 1 &&
    owners.every((owner) => owner?.controller !== undefined) &&
    devices.size === 1 &&
    controllers.size === macs.length
  );
}

/** "00:... is vault-1/B/mgmt" for each MAC that the plan knows. */
export function ownersOf(plan: Plan, macs: readonly string[]): string[] {
  return macs.flatMap((mac) => {
    const owner = indexOf(plan).withMac(mac)[0];
    return owner === undefined ? [] : [`${mac} is planned for ${owner.id}`];
  });
}
