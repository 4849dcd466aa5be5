/** Whether the device at a planned address is another one than planned, and which. */

import type { Claimed } from '../evidence/claims.js';
import type { Seen } from '../evidence/view.js';
import type { Survey } from '../matrix/survey.js';
import type { Device, Endpoint, Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import { type EvidenceLine, seenLine, toldLine } from '../sighting/evidence-line.js';
import { timeWords } from '../text/time.js';
import { deviceFit, weakOnly } from './device-fit.js';
import { type Differing, devicesThatFit, fitOfCandidate, nameOfCandidate } from './fit.js';
import { identityOf, physicalMacs } from './seen-identity.js';

export interface WrongDevice {
  readonly mismatches: readonly string[];
  /** The same as values, one a mismatch. */
  readonly differing: readonly Differing[];
  /** What it must be instead, for a sentence. */
  readonly isInstead?: string | undefined;
  /** Ids of the endpoints whose device it may be; two endpoints that name each other are swapped. */
  readonly owners: readonly string[];
  readonly evidence: readonly EvidenceLine[];
}

/** The device at an endpoint is shown to be the planned one by these, or nothing shows it. */
export interface Proof {
  readonly because: readonly string[];
}

export function wrongDevice(
  plan: Plan,
  endpoint: Endpoint,
  claimed: Claimed,
  looks: readonly Seen[],
  survey?: Survey,
): WrongDevice | undefined {
  const device = indexOf(plan).device(endpoint.device);
  const mac = endpoint.virtual ? undefined : macMismatch(plan, endpoint, device, claimed);
  const fit = deviceFit(device, endpoint, claimed, looks);
  const identity = weakOnly(fit) ? undefined : identityMismatch(plan, endpoint, device, looks);
  const survivor =
    mac === undefined && identity === undefined
      ? heldBefore(
          endpoint,
          claimed,
          survey,
          shownToBePlanned(plan, endpoint, claimed, looks, { prefixCounts: false }).because.length > 0,
        )
      : undefined;
  const parts = [mac, identity, survivor].filter((part) => part !== undefined);
  if (parts.length === 0) return undefined;
  return {
    mismatches: parts.flatMap((part) => part.mismatches),
    differing: parts.flatMap((part) => part.differing),
    isInstead: parts.find((part) => part.isInstead !== undefined)?.isInstead,
    owners: [...new Set(parts.flatMap((part) => part.owners))],
    evidence: [
      ...claimed.claimants.flatMap(({ evidence }) => evidence),
      ...parts.flatMap((part) => part.evidence),
    ],
  };
}

/**
 * What shows that the answering device is the planned one: its MAC, what it says of itself, or its MAC prefix. A prefix is no proof
 * (`prefixCounts: false`) where an older device of the same make may stand on the site.
 */
export function shownToBePlanned(
  plan: Plan,
  endpoint: Endpoint,
  claimed: Claimed,
  looks: readonly Seen[],
  { prefixCounts }: { readonly prefixCounts: boolean } = { prefixCounts: true },
): Proof {
  const device = indexOf(plan).device(endpoint.device);
  const macs = physicalMacs(claimed);
  const because: string[] = [];
  if (endpoint.mac !== undefined && macs.includes(endpoint.mac))
    because.push(`its MAC is the planned ${endpoint.mac}`);
  const prefix = device?.macPrefixes.find((one) => macs.some((mac) => mac.startsWith(one)));
  const owner = macs.flatMap((mac) => indexOf(plan).withMac(mac))[0];
  if (prefixCounts && prefix !== undefined && (owner === undefined || owner.device === endpoint.device))
    because.push(`its MAC has the prefix ${prefix}`);
  const identity = identityOf(looks);
  if (identity !== undefined) {
    const { fits, mismatches } = fitOfCandidate(
      device,
      endpoint.virtual ? undefined : endpoint.controller,
      identity,
    );
    if (mismatches.length === 0) because.push(...fits);
  }
  return { because };
}

function macMismatch(
  plan: Plan,
  endpoint: Endpoint,
  device: Device | undefined,
  claimed: Claimed,
): WrongDevice | undefined {
  const macs = physicalMacs(claimed);
  if (macs.length === 0 || (endpoint.mac !== undefined && macs.includes(endpoint.mac))) return undefined;
  const mac = macs[0] ?? '';
  const owners = macs
    .flatMap((one) => indexOf(plan).withMac(one))
    .map(({ id }) => id)
    .filter((id) => id !== endpoint.id);
  if (endpoint.mac !== undefined || owners.length > 0) {
    const planned = endpoint.mac === undefined ? '' : `, planned ${endpoint.mac}`;
    const whose = owners.length === 0 ? '' : `, which is the planned one of ${owners.join(', ')}`;
    return {
      mismatches: [`its MAC is ${mac}${planned}${whose}`],
      differing: [
        { field: 'mac', planned: endpoint.mac ?? `not that of ${owners.join(', ')}`, measured: mac },
      ],
      isInstead: owners[0],
      owners,
      evidence: [],
    };
  }
  const prefixes = device?.macPrefixes ?? [];
  if (prefixes.length === 0 || macs.some((one) => prefixes.some((prefix) => one.startsWith(prefix))))
    return undefined;
  const others = indexOf(plan).withPrefixOf([mac]);
  return {
    mismatches: [`its MAC ${mac} has none of the prefixes of ${endpoint.device} (${prefixes.join(', ')})`],
    differing: [{ field: 'mac', planned: prefixes.map((prefix) => `${prefix}*`).join(', '), measured: mac }],
    isInstead: others.length === 1 ? others[0]?.name : undefined,
    owners: [],
    evidence: [],
  };
}

function identityMismatch(
  plan: Plan,
  endpoint: Endpoint,
  device: Device | undefined,
  looks: readonly Seen[],
): WrongDevice | undefined {
  const identity = identityOf(looks);
  if (identity === undefined) return undefined;
  // A virtual address may be on either controller: only what the two have in common is held against it.
  const controller = endpoint.virtual ? undefined : endpoint.controller;
  const { mismatches, differing } = fitOfCandidate(device, controller, identity);
  if (mismatches.length === 0) return undefined;
  const others = devicesThatFit(plan, identity).filter(
    (other) => other.device !== endpoint.device || other.controller !== controller,
  );
  const best =
    others.find((other) => other.device === endpoint.device) ?? (others.length === 1 ? others[0] : undefined);
  const owners =
    best === undefined
      ? []
      : indexOf(plan)
          .endpointsOf(best.device)
          .filter(
            (other) =>
              (best.controller === undefined || other.controller === best.controller) &&
              other.address !== undefined,
          )
          .map(({ id }) => id);
  const from = looks.find((look) => Object.keys(look.sighting.identity).length > 0);
  return {
    mismatches,
    differing,
    isInstead: best === undefined ? undefined : nameOfCandidate(best),
    owners,
    evidence: from === undefined ? [] : mismatches.map((line) => toldLine(seenLine(from.evidence, line))),
  };
}

/** The address was held by the same MAC before the device had it, and nothing shows that it is that same device. */
function heldBefore(
  endpoint: Endpoint,
  claimed: Claimed,
  survey: Survey | undefined,
  shown: boolean,
): WrongDevice | undefined {
  // Whatever the survey's plan had there, other than a default address: the plan may have changed since.
  const entry = survey?.entries.find(
    ({ address, kind }) => address === endpoint.address && kind !== 'default',
  );
  const mac = physicalMacs(claimed).find((one) => entry?.macs.includes(one));
  if (survey === undefined || mac === undefined || shown) return undefined;
  return {
    mismatches: [`${mac} held this address already in the survey of ${timeWords(survey.takenAt)}`],
    differing: [{ field: 'mac', planned: 'not the one that held the address before', measured: mac }],
    owners: [],
    evidence: [
      `survey of ${timeWords(survey.takenAt)} from ${survey.vantage}: ${endpoint.address} is at ${mac}; this MAC answered there before the devices were powered on`,
    ],
  };
}
