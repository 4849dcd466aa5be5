/**
 * What another place sends, as far as it is taken: cleaned, of this plan's addresses and devices alone, under the name and the clock of this
 * side. It is trusted as little as a device. Pure.
 */
import type { Plan } from '../plan/model.js';
import { wipeSecrets } from '../plan/secret.js';
import { questionsFor } from '../run/questions.js';
import type { AddressSighting, Evidence, PresenceSighting } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';

/** Longest text taken from another place, in characters: sentences of ours that came back are shorter. */
const TEXT_CHARACTERS = 600;
/** A clock that is off by less is left as it is, in milliseconds: the message was under way for as long. */
const CLOCK_MS = 2_000;

/** Every text in a value made safe; commands that it would have the reader type are left out. */
export function cleanAll(value: unknown): unknown {
  if (typeof value === 'string') return wipeSecrets(cleanText(value, TEXT_CHARACTERS));
  if (Array.isArray(value)) return value.map(cleanAll);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key]) => key !== 'mend' && key !== '__proto__')
      .map(([key, each]) => [cleanText(key, 80), cleanAll(each)]),
  );
}

export interface Acceptance {
  readonly plan: Plan;
  readonly stage: Evidence['stage'];
  readonly only?: readonly string[] | undefined;
  readonly name: string;
  /** `ssh://...` */
  readonly from: string;
  /** How much the clock there is ahead of ours. */
  readonly aheadMs: number;
}

export function acceptEvidence(evidence: Evidence, how: Acceptance): Evidence {
  const { plan, stage, only, name, from } = how;
  const aheadMs = Math.abs(how.aheadMs) < CLOCK_MS ? 0 : how.aheadMs;
  const asked = new Set(questionsFor(plan, { only }).map(({ address }) => address));
  const devices = new Set(plan.devices.map((device) => device.name));
  const networks = new Set(plan.networks.map((network) => network.name));
  const own = new Set(
    evidence.vantage.interfaces.flatMap(({ addresses }) => addresses.map((one) => one.split('/')[0] ?? one)),
  );
  const at = <T extends { readonly askedAt: string }>(table: T): T => ({
    ...table,
    askedAt: ourTime(table.askedAt, aheadMs),
  });
  return {
    vantage: {
      ...evidence.vantage,
      name,
      from,
      ...(aheadMs === 0 ? {} : { clockAheadSeconds: Math.round(aheadMs / 1000) }),
    },
    startedAt: ourTime(evidence.startedAt, aheadMs),
    finishedAt: ourTime(evidence.finishedAt, aheadMs),
    stage,
    ...(only === undefined ? {} : { only }),
    complete: evidence.complete,
    sightings: evidence.sightings
      .filter(({ address }) => asked.has(address))
      .map((sighting) => byOurClock(sighting, aheadMs)),
    links: evidence.links.filter(({ device }) => devices.has(device)).map(at),
    switches: evidence.switches.filter((tables) => devices.has(tables.switch)).map(at),
    fabrics: evidence.fabrics.filter((tables) => devices.has(tables.switch)).map(at),
    power: evidence.power.filter(({ device }) => devices.has(device)).map(at),
    ownNeighbours: evidence.ownNeighbours,
    ownClaimed: evidence.ownClaimed.filter(({ address }) => own.has(address)),
    proxyArp: evidence.proxyArp.filter(({ network }) => networks.has(network)),
    // Eyes and hands are here.
    attestations: [],
    drills: [],
    notes: evidence.notes,
  };
}

function ourTime(time: string, aheadMs: number): string {
  const ms = Date.parse(time);
  return Number.isFinite(ms) && Math.abs(ms) < 8e15 ? new Date(ms - aheadMs).toISOString() : '';
}

function byOurClock(sighting: AddressSighting, aheadMs: number): AddressSighting {
  const { mend: _typed, ...rest } = sighting;
  if (aheadMs === 0) return rest;
  const { http, https, ...identity } = rest.identity;
  const seconds = Math.round(aheadMs / 1000);
  const shifted = <T extends { readonly clockAheadSeconds?: number | undefined }>(one: T): T =>
    one.clockAheadSeconds === undefined
      ? one
      : { ...one, clockAheadSeconds: one.clockAheadSeconds + seconds };
  return {
    ...rest,
    presence: presenceByOurClock(rest.presence, aheadMs),
    identity: {
      ...identity,
      ...(http === undefined ? {} : { http: shifted(http) }),
      ...(https === undefined ? {} : { https: shifted(https) }),
    },
  };
}

function presenceByOurClock(presence: PresenceSighting, aheadMs: number): PresenceSighting {
  if (presence.outcome !== 'claimed') return presence;
  return {
    ...presence,
    claims: presence.claims.map(({ seenFromMs, seenToMs, ...claim }) => ({
      ...claim,
      ...(seenFromMs === undefined ? {} : { seenFromMs: seenFromMs - aheadMs }),
      ...(seenToMs === undefined ? {} : { seenToMs: seenToMs - aheadMs }),
    })),
  };
}
