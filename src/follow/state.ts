/** What one look says of each address of the plan, in the few facts that a person at the rack waits for. */

import { thereAlone } from '../evidence/there.js';
import type { Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { AddressSighting, Evidence, TcpOutcome } from '../sighting/types.js';

export type AddressState =
  | { readonly is: 'silent' }
  | { readonly is: 'unknown'; readonly why: string }
  | {
      readonly is: 'there';
      /** Empty where no wire is looked at. */
      readonly macs: readonly string[];
      /** Absent where no echo could be sent. */
      readonly echo?: boolean | undefined;
      readonly services: ReadonlyMap<string, TcpOutcome>;
    };

/** Subject (endpoint id, or `default address A of D`) -> what is known of its address. */
export type SiteState = ReadonlyMap<string, AddressState>;

export function stateOf(sighting: AddressSighting): AddressState {
  const { presence, icmp, tcp } = sighting;
  const there = thereAlone(sighting);
  if (there) {
    const services = tcp.flatMap((one) =>
      one.outcome === 'not-run' ? [] : [[one.service, one.outcome] as const],
    );
    return {
      is: 'there',
      macs: presence.outcome === 'claimed' ? [...presence.macs].sort() : [],
      ...(icmp.outcome === 'not-run' ? {} : { echo: icmp.outcome === 'replied' }),
      services: new Map(services),
    };
  }
  if (presence.outcome === 'unclaimed') return { is: 'silent' };
  const asked = icmp.outcome !== 'not-run' || tcp.some(({ outcome }) => outcome !== 'not-run');
  if (asked && sighting.reach !== 'no-route') return { is: 'silent' };
  const why = sighting.reachReason ?? (presence.outcome === 'not-run' ? presence.reason : 'not asked');
  return { is: 'unknown', why };
}

export function siteState(plan: Plan, evidence: Evidence): Map<string, AddressState> {
  const subjects = subjectsOf(plan);
  return new Map(
    evidence.sightings.flatMap((sighting) => {
      const state = stateOf(sighting);
      return (subjects.get(sighting.address) ?? []).map(({ subject }) => [subject, state] as const);
    }),
  );
}

interface Subject {
  readonly subject: string;
  readonly device: string;
}

function subjectsOf(plan: Plan): Map<string, Subject[]> {
  const subjects = new Map<string, Subject[]>();
  const add = (address: string, subject: Subject): void => {
    subjects.set(address, [...(subjects.get(address) ?? []), subject]);
  };
  for (const { address, id, device } of plan.endpoints)
    if (address !== undefined) add(address, { subject: id, device });
  const seen = new Set<string>();
  for (const { address, device } of indexOf(plan).defaults) {
    const subject = `default address ${address} of ${device}`;
    if (!seen.has(subject)) add(address, { subject, device });
    seen.add(subject);
  }
  return subjects;
}

/** What the plan has at this address: endpoints, and devices that it is a default of. */
export function subjectsAt(plan: Plan, address: string): string[] {
  return (subjectsOf(plan).get(address) ?? []).map(({ subject }) => subject);
}

/** Devices of these subjects, and every switch that the plan names: a cable that moved shows itself there. */
export function devicesToAsk(plan: Plan, changed: ReadonlySet<string>): Set<string> {
  const devices = new Set<string>();
  for (const subjects of subjectsOf(plan).values())
    for (const { subject, device } of subjects) if (changed.has(subject)) devices.add(device);
  if (devices.size === 0) return devices;
  const known = new Set(plan.devices.map(({ name }) => name));
  for (const endpoint of plan.endpoints) {
    if (endpoint.role === 'switch') devices.add(endpoint.device);
    if (endpoint.switch !== undefined && known.has(endpoint.switch)) devices.add(endpoint.switch);
  }
  return devices;
}

/** Somebody is known to be there and is not, or the other way round. What could not be told is no news of going. */
export function isNews(before: AddressState | undefined, alive: boolean): boolean {
  return alive ? before?.is === 'silent' : before?.is === 'there';
}

/** As far as a pulse tells it. */
export function feltState(alive: boolean): AddressState {
  return alive ? { is: 'there', macs: [], services: new Map() } : { is: 'silent' };
}
