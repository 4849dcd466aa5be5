/** Holds what a candidate says of itself against what the plan says of each controller. */
import type { Device, Plan, PlannedIdentity } from '../plan/model.js';
import type { IdentitySighting } from '../sighting/types.js';
import { FIELD_NAMES, IDENTITY_FIELDS, type IdentityField, measured } from './facts.js';
import { globMatches } from './glob.js';

/** A value of the plan and another one on the candidate. */
export interface Differing {
  readonly field: IdentityField | 'mac';
  readonly planned: string;
  readonly measured: string;
}

export interface Fit {
  /** Stated patterns that the measured values fit. */
  readonly fits: readonly string[];
  /** The same by field. */
  readonly fields: readonly { readonly field: IdentityField; readonly line: string }[];
  /** Stated patterns that they do not fit, as a clause for a sentence. */
  readonly mismatches: readonly string[];
  /** The same as values, one a mismatch. */
  readonly differing: readonly Differing[];
  /** Stated, but nothing was measured to hold against them. */
  readonly unread: readonly IdentityField[];
}

/** A device, or one controller of it. */
export interface Candidate {
  readonly device: string;
  readonly controller?: string | undefined;
}

export function fitOf(identity: IdentitySighting, ...stated: readonly (PlannedIdentity | undefined)[]): Fit {
  const fields: { field: IdentityField; line: string }[] = [];
  const mismatches: string[] = [];
  const differing: Differing[] = [];
  const unread: IdentityField[] = [];
  for (const planned of stated) {
    for (const field of IDENTITY_FIELDS) {
      const pattern = planned?.[field];
      if (pattern === undefined || pattern.trim() === '') continue;
      const values = measured(identity, field);
      if (values.length === 0) unread.push(field);
      else if (values.some((value) => globMatches(pattern, value)))
        fields.push({ field, line: `${FIELD_NAMES[field]} fits "${pattern}"` });
      else {
        mismatches.push(`${FIELD_NAMES[field]} is "${values[0]}", planned "${pattern}"`);
        differing.push({ field, planned: pattern, measured: values[0] ?? '' });
      }
    }
  }
  return { fits: fields.map(({ line }) => line), fields, mismatches, differing, unread };
}

export function fitOfCandidate(
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

/** Every planned candidate whose stated patterns fit, at least one of them and none against it. */
export function devicesThatFit(plan: Plan, identity: IdentitySighting): Candidate[] {
  const candidates = candidatesOf(plan);
  const named = IDENTITY_FIELDS.flatMap((field) =>
    measured(identity, field).flatMap((value) => candidates.byLiteral.get(literalKey(field, value)) ?? []),
  );
  return [...new Set([...named, ...candidates.loose])]
    .sort((a, b) => a.order - b.order)
    .filter(({ stated }) => {
      const { fits, mismatches } = fitOf(identity, ...stated);
      return fits.length > 0 && mismatches.length === 0;
    })
    .map(({ device, controller }) => ({ device, controller }));
}

interface StatedCandidate extends Candidate {
  readonly order: number;
  readonly stated: readonly (PlannedIdentity | undefined)[];
}

interface StatedCandidates {
  /** Devices with a pattern without `*`, by that pattern: of a thousand names, one look-up finds the one. */
  readonly byLiteral: ReadonlyMap<string, readonly StatedCandidate[]>;
  /** Devices that can fit without any literal pattern fitting. */
  readonly loose: readonly StatedCandidate[];
}

const made = new WeakMap<Plan, StatedCandidates>();

function candidatesOf(plan: Plan): StatedCandidates {
  const known = made.get(plan);
  if (known !== undefined) return known;
  const byLiteral = new Map<string, StatedCandidate[]>();
  const loose: StatedCandidate[] = [];
  let order = 0;
  for (const device of plan.devices) {
    const controllers = Object.keys(device.controllers);
    for (const controller of controllers.length === 0 ? [undefined] : controllers) {
      const stated = [device.identity, controller === undefined ? undefined : device.controllers[controller]];
      const candidate = { device: device.name, controller, stated, order: order++ };
      const key = literalOf(stated);
      if (key === undefined) loose.push(candidate);
      else byLiteral.set(key, [...(byLiteral.get(key) ?? []), candidate]);
    }
  }
  const candidates = { byLiteral, loose };
  made.set(plan, candidates);
  return candidates;
}

/** The pattern of a candidate that states exactly one, and that without `*`: it fits when that value is measured, and only then. */
function literalOf(stated: StatedCandidate['stated']): string | undefined {
  const patterns = stated.flatMap((planned) =>
    IDENTITY_FIELDS.flatMap((field) => {
      const pattern = planned?.[field]?.trim() ?? '';
      return pattern === '' ? [] : [{ field, pattern }];
    }),
  );
  const [only] = patterns;
  return patterns.length === 1 && only !== undefined && !only.pattern.includes('*')
    ? literalKey(only.field, only.pattern)
    : undefined;
}

function literalKey(field: string, text: string): string {
  return `${field}\n${text.trim().toLowerCase()}`;
}

export function nameOfCandidate({ device, controller }: Candidate): string {
  return controller === undefined ? device : `${device}/${controller}`;
}
