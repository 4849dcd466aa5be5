/** Holds what a box says of itself against what the plan says of each controller. */
import type { Device, Plan, PlannedIdentity } from '../../plan/model.js';
import type { IdentitySighting } from '../../sighting/types.js';
import { FIELD_NAMES, IDENTITY_FIELDS, measured } from './facts.js';
import { globMatches } from './glob.js';

export interface Fit {
  /** Stated patterns that the measured values fit. */
  readonly fits: readonly string[];
  /** Stated patterns that they do not fit, as a clause for a sentence. */
  readonly mismatches: readonly string[];
  /** Stated, but nothing was measured to hold against them. */
  readonly unread: readonly string[];
}

/** A device, or one controller of it. */
export interface Box {
  readonly device: string;
  readonly controller?: string | undefined;
}

export function fitOf(identity: IdentitySighting, ...stated: readonly (PlannedIdentity | undefined)[]): Fit {
  const fits: string[] = [];
  const mismatches: string[] = [];
  const unread: string[] = [];
  for (const planned of stated) {
    for (const field of IDENTITY_FIELDS) {
      const pattern = planned?.[field];
      if (pattern === undefined || pattern.trim() === '') continue;
      const values = measured(identity, field);
      if (values.length === 0) unread.push(FIELD_NAMES[field]);
      else if (values.some((value) => globMatches(pattern, value)))
        fits.push(`${FIELD_NAMES[field]} fits "${pattern}"`);
      else mismatches.push(`${FIELD_NAMES[field]} is "${values[0]}", planned "${pattern}"`);
    }
  }
  return { fits, mismatches, unread };
}

export function fitOfBox(
  device: Device | undefined,
  controller: string | undefined,
  identity: IdentitySighting,
): Fit {
  return fitOf(
    identity,
    device?.identity,
    controller === undefined ? undefined : device?.controllers[controller],
  );
}

/** Every planned box whose stated patterns fit, at least one of them and none against it. */
export function boxesThatFit(plan: Plan, identity: IdentitySighting): Box[] {
  return plan.devices.flatMap((device): Box[] => {
    const controllers = Object.keys(device.controllers);
    const candidates: (string | undefined)[] = controllers.length === 0 ? [undefined] : controllers;
    return candidates
      .filter((controller) => {
        const { fits, mismatches } = fitOfBox(device, controller, identity);
        return fits.length > 0 && mismatches.length === 0;
      })
      .map((controller) => ({ device: device.name, controller }));
  });
}

export function nameOfBox({ device, controller }: Box): string {
  return controller === undefined ? device : `${device}/${controller}`;
}
