/**
 * What the plan states of the device behind an endpoint, held against what answered there. Strong marks are a device's own and stay with
 * it: its MAC, serial number, Redfish UUID. Weak ones were typed by somebody: sysName, titles, certificate names (DESIGN 6).
 */
import type { Claimed } from '../evidence/claims.js';
import type { Seen } from '../evidence/view.js';
import type { Device, Endpoint } from '../plan/model.js';
import type { IdentityField } from './facts.js';
import { type Differing, fitOfCandidate } from './fit.js';
import { identityOf, physicalMacs } from './seen-identity.js';

const STRONG: ReadonlySet<IdentityField> = new Set(['serial', 'uuid']);

export interface DeviceFit {
  /** The plan states something by which the device could be known here. */
  readonly stated: boolean;
  /** Marks that agree, as a person would say them. */
  readonly strong: readonly string[];
  readonly weak: readonly string[];
  /** A fitting MAC prefix: the make, not the device. */
  readonly prefix?: string | undefined;
  /** Marks that do not agree, MAC apart. */
  readonly differing: readonly Differing[];
  /** Stated, and no answer told it. */
  readonly unread: readonly IdentityField[];
}

export function deviceFit(
  device: Device | undefined,
  endpoint: Endpoint,
  claimed: Claimed,
  looks: readonly Seen[],
): DeviceFit {
  const controller = endpoint.virtual ? undefined : endpoint.controller;
  const { fields, differing, unread } = fitOfCandidate(device, controller, identityOf(looks) ?? {});
  const macs = physicalMacs(claimed);
  const prefixes = device?.macPrefixes ?? [];
  const strong = [
    ...(endpoint.mac !== undefined && macs.includes(endpoint.mac)
      ? [`its MAC is the planned ${endpoint.mac}`]
      : []),
    ...fields.filter(({ field }) => STRONG.has(field)).map(({ line }) => line),
  ];
  return {
    stated:
      endpoint.mac !== undefined ||
      prefixes.length > 0 ||
      fields.length + differing.length + unread.length > 0,
    strong,
    weak: fields.filter(({ field }) => !STRONG.has(field)).map(({ line }) => line),
    prefix: prefixes.find((prefix) => macs.some((mac) => mac.startsWith(prefix))),
    differing,
    unread,
  };
}

/** The right device by a mark of its own; what a person typed into it is not as planned. */
export function weakOnly({ strong, differing }: DeviceFit): boolean {
  return (
    strong.length > 0 &&
    differing.length > 0 &&
    differing.every(({ field }) => field !== 'mac' && !STRONG.has(field))
  );
}
