/** Whether two devices hold one address, and how sure that is. */

import { isVirtualRouterMac } from '../plan/mac.js';
import type { Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import { type EvidenceLine, seenLine } from '../sighting/evidence-line.js';
import { list } from '../text/sentence.js';
import { claimsIn } from './claim-index.js';
import type { Claimant, Claimed } from './claims.js';
import type { Seen, View } from './view.js';

/**
 * proven: two answers to one question. likely: seen one after the other, from two places, or a device that changed between two
 * connections.
 */
export interface Duplicate {
  readonly macs: readonly string[];
  readonly sure: 'proven' | 'likely';
  readonly why?: string | undefined;
  readonly evidence: readonly EvidenceLine[];
}

/** What several MACs at one address are. */
export type SeveralClaims =
  | { readonly kind: 'two-devices'; readonly duplicate: Duplicate }
  /** One MAC until some moment, another one after it: the address went from one to the other. */
  | { readonly kind: 'moved'; readonly macs: readonly string[]; readonly evidence: readonly EvidenceLine[] }
  /** Two ports of one device in one network, each answering for both (Linux does by default): one device. */
  | {
      readonly kind: 'two-ports';
      readonly macs: readonly string[];
      readonly owner: string;
      readonly evidence: readonly EvidenceLine[];
    };

/**
 * Two claimants in one look by capture or arping are proof. A virtual router's MAC beside its own physical frame source is one device
 * (RFC 9568 §8.1.2, folded in claims.ts); beside another physical MAC it is suspicious and counts as two.
 */
export function claimsOf(view: View, claimed: Claimed, looks: readonly Seen[]): SeveralClaims | undefined {
  const { claimants, together } = claimed;
  if (claimants.length > 1) {
    const macs = claimants.map(({ mac }) => mac);
    const evidence = claimants.flatMap((one) => one.evidence);
    const owner = oneDevice(view, macs) ?? sameOfBoth(view, looks[0]?.sighting.address, macs);
    if (owner !== undefined) return { kind: 'two-ports', macs, owner, evidence };
    const router = claimants.find(({ mac }) => isVirtualRouterMac(mac));
    if (router === undefined && cameAfter(claimants)) return { kind: 'moved', macs, evidence };
    const why =
      router !== undefined
        ? `${router.mac} is a virtual router's MAC, and another device answers beside it`
        : together
          ? undefined
          : 'the MACs were seen one after the other, not in answer to one question';
    return {
      kind: 'two-devices',
      duplicate: {
        macs,
        sure: together ? 'proven' : 'likely',
        ...(why === undefined ? {} : { why }),
        evidence,
      },
    };
  }
  const changed = looks
    .filter(
      ({ sighting: { presence } }) => presence.outcome !== 'claimed' || presence.duplicateCheck !== 'proven',
    )
    .flatMap(({ evidence, sighting }) =>
      (sighting.identity.changed ?? []).map(({ what, first, later }) => ({
        what,
        line: seenLine(evidence, `${what} was "${first}", then "${later}" in the next connection`),
      })),
    );
  if (changed.length === 0) return undefined;
  return {
    kind: 'two-devices',
    duplicate: {
      macs: claimants.map(({ mac }) => mac),
      sure: 'likely',
      why: `${list([...new Set(changed.map(({ what }) => what))])} changed between two connections`,
      evidence: [...claimants.flatMap(({ evidence }) => evidence), ...changed.map(({ line }) => line)],
    },
  };
}

export function duplicateOf(view: View, claimed: Claimed, looks: readonly Seen[]): Duplicate | undefined {
  const claims = claimsOf(view, claimed, looks);
  return claims?.kind === 'two-devices' ? claims.duplicate : undefined;
}

/** Shorter than this, in milliseconds, two answers may be to one question: slow management processors take about a second (common practice, no source). */
const APART_MS = 1100;

/** Each was heard in a time of its own, and no time lies within another: two devices would both have gone on answering. */
function cameAfter(claimants: readonly Claimant[]): boolean {
  const spans = claimants.map(({ span }) => span).sort((a, b) => (a?.from ?? 0) - (b?.from ?? 0));
  return spans.every((span, index) => {
    const next = spans[index + 1];
    return span !== undefined && (next === undefined || span.to + APART_MS <= next.from);
  });
}

/** `vault-1/A` where the plan, or the device's own agent, says that all these MACs are ports of it in one network. */
function oneDevice(view: View, macs: readonly string[]): string | undefined {
  const owners = macs.map((mac) => partWith(view, mac));
  const [first] = owners;
  return first !== undefined && owners.every((owner) => owner === first) ? first : undefined;
}

/**
 * Without any MAC in the plan: the same MACs claim another address of the same controller in the same network, too. Two devices that clash
 * at every one of its addresses are less likely than one that answers for either port on either.
 */
function sameOfBoth(view: View, address: string | undefined, macs: readonly string[]): string | undefined {
  if (address === undefined) return undefined;
  const index = indexOf(view.plan);
  const [here] = index.at(address);
  if (here === undefined) return undefined;
  const others = index
    .endpointsOf(here.device)
    .filter(
      (one) =>
        one.address !== undefined &&
        one.address !== address &&
        one.controller === here.controller &&
        one.network === here.network,
    );
  const claimedAlike = others.some(({ address: other = '' }) => {
    const there = claimsIn(view)
      .ever(other)
      .claimants.map(({ mac }) => mac);
    return there.length === macs.length && there.every((mac) => macs.includes(mac));
  });
  return claimedAlike ? partOf(here.device, here.controller) : undefined;
}

function partWith(view: View, mac: string): string | undefined {
  const planned = indexOf(view.plan).withMac(mac)[0];
  if (planned !== undefined) return partOf(planned.device, planned.controller);
  for (const { links } of view.evidence)
    for (const agent of links)
      if (agent.links.some((link) => link.mac === mac)) return partOf(agent.device, agent.controller);
  return undefined;
}

function partOf(device: string, controller: string | undefined): string {
  return controller === undefined ? device : `${device}/${controller}`;
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
