/**
 * How much is kept of what devices say. One that lies without end must not make the result of all the others unreadable: each may fill
 * its share, a run has a sum, and what is beyond is cut where it stands and said. Lengths are characters of JSON. Pure.
 */
import { withoutOurSecrets } from '../plan/secret.js';
import { list } from '../text/sentence.js';
import type { AddressSighting, Evidence } from './evidence.js';
import type { DeviceLinks, FabricTables, PowerSupplies, SwitchTables } from './tables.js';

export interface Limits {
  /** What one answer may fill while the run has room. */
  readonly each: number;
  /** What each gets whatever others have filled: an honest one fits. */
  readonly floor: number;
  /** What all together may fill beyond their floors. */
  readonly sum: number;
  /** What all together may fill with their floors: a plan of thousands of devices that all lie ends here. */
  readonly total: number;
}

/** Together below what a reader of results takes, with what is made of it and the blanks of its lines beside. */
const CEILINGS = {
  /** An array with a hundred portals tells some 20,000. */
  sighting: { each: 100_000, floor: 2_500, sum: 3_000_000, total: 10_000_000 },
  /** Who claims an address: a claim is some 150, and a device that moves an address has two. */
  presence: { each: 6_000, floor: 700, sum: 1_000_000, total: 4_000_000 },
  /** What the second look at a device found changed: one change is some 150. */
  changed: { each: 3_000, floor: 250, sum: 500_000, total: 1_500_000 },
  /** A port is some 200. */
  links: { each: 400_000, floor: 4_000, sum: 3_500_000, total: 7_000_000 },
  /** A learned address is some 70; a large site has ten thousand. */
  tables: { each: 2_000_000, floor: 20_000, sum: 3_500_000, total: 5_500_000 },
  /** A supply is some 40. */
  power: { each: 20_000, floor: 1_000, sum: 500_000, total: 1_000_000 },
} as const satisfies Record<string, Limits>;
/** Lists that hang on no device of the plan: neighbours of the laptop, who else has its addresses, routers that answer for all. */
const ENTRIES_ELSEWHERE = 256;

export interface Ceilings {
  readonly sighting: (seen: AddressSighting) => AddressSighting;
  /** For a sighting that was bounded before and has got further claims since. */
  readonly presence: (seen: AddressSighting) => AddressSighting;
  /** For a sighting that was bounded before and has got what changed in its identity since. */
  readonly changed: (seen: AddressSighting) => AddressSighting;
  readonly links: (links: DeviceLinks) => DeviceLinks;
  readonly switchTables: (tables: SwitchTables) => SwitchTables;
  readonly fabricTables: (tables: FabricTables) => FabricTables;
  readonly power: (supplies: PowerSupplies) => PowerSupplies;
  /** All that another place sent, with a note where it was cut. */
  readonly evidence: (evidence: Evidence) => Evidence;
  /** Addresses whose answers were cut, in the order in which they came. */
  readonly cut: () => readonly string[];
}

/** One for each run. */
export function createCeilings(limits: Readonly<Record<keyof typeof CEILINGS, Limits>> = CEILINGS): Ceilings {
  const cut: string[] = [];
  const rooms = {
    sighting: roomOf(limits.sighting),
    presence: roomOf(limits.presence),
    changed: roomOf(limits.changed),
    links: roomOf(limits.links),
    tables: roomOf(limits.tables),
    power: roomOf(limits.power),
  };
  const bounded = <T>(said: T, address: string, room: Room, shorten: (value: T, length: number) => T): T => {
    const value = withoutOurSecrets(said);
    const length = lengthOf(value);
    const allowed = room.take(length);
    if (length <= allowed) return value;
    cut.push(address);
    return shorten(value, allowed);
  };
  const ceilings: Ceilings = {
    sighting: (seen) => bounded(seen, seen.address, rooms.sighting, shortenSighting),
    presence: (seen) => {
      const length = lengthOf(seen.presence);
      if (length <= rooms.presence.take(length)) return seen;
      cut.push(seen.address);
      return { ...seen, presence: shortened(seen.presence) };
    },
    changed: (again) => {
      const seen = withoutOurSecrets(again);
      const { changed = [] } = seen.identity;
      const length = lengthOf(changed);
      if (length <= rooms.changed.take(length)) return seen;
      cut.push(seen.address);
      return { ...seen, identity: { ...seen.identity, changed: shortened(changed.slice(0, 1)) } };
    },
    links: (links) =>
      bounded(links, links.askedAt, rooms.links, (value, length) => ({
        ...value,
        links: fitting(value.links, length),
        ...TOO_MUCH,
      })),
    switchTables: (tables) =>
      bounded(tables, tables.askedAt, rooms.tables, (value, length) => ({
        ...value,
        ports: fitting(value.ports, length / 3),
        forwarding: fitting(value.forwarding, length / 3),
        neighbours: fitting(value.neighbours, length / 3),
        ...TOO_MUCH,
      })),
    fabricTables: (tables) =>
      bounded(tables, tables.askedAt, rooms.tables, (value, length) => ({
        ...value,
        ports: fitting(value.ports, length / 2),
        logins: fitting(value.logins, length / 2),
        ...TOO_MUCH,
      })),
    power: (supplies) =>
      bounded(supplies, supplies.askedAt, rooms.power, (value, length) => ({
        ...value,
        supplies: fitting(value.supplies, length),
      })),
    evidence: (evidence) => {
      const before = cut.length;
      const kept = {
        ...evidence,
        sightings: evidence.sightings.map((one) => ceilings.sighting(one)),
        links: evidence.links.map((one) => ceilings.links(one)),
        switches: evidence.switches.map((one) => ceilings.switchTables(one)),
        fabrics: evidence.fabrics.map((one) => ceilings.fabricTables(one)),
        power: evidence.power.map((one) => ceilings.power(one)),
        ownNeighbours: evidence.ownNeighbours.slice(0, ENTRIES_ELSEWHERE),
        ownClaimed: evidence.ownClaimed.slice(0, ENTRIES_ELSEWHERE).map(shortened),
        proxyArp: evidence.proxyArp.slice(0, ENTRIES_ELSEWHERE).map(shortened),
        notes: evidence.notes.slice(0, ENTRIES_ELSEWHERE),
      };
      return { ...kept, notes: [...kept.notes, ...cutNote(cut.slice(before))] };
    },
    cut: () => cut,
  };
  return ceilings;
}

/** What a reader of the result is told of answers that were cut. */
export function cutNote(addresses: readonly string[]): string[] {
  const several = [...new Set(addresses)];
  return several.length === 0 ? [] : [`More was told than is kept, and cut, at ${list(several, 8)}.`];
}

const TOO_MUCH = { truncated: 'more than is kept of one device', cutBecause: 'too-much' } as const;

interface Room {
  /** How much of `length` may be kept; what is taken is taken. */
  take(length: number): number;
}

function roomOf({ each, floor, sum, total }: Limits): Room {
  let left = sum;
  let leftInAll = total;
  return {
    take(length) {
      const wanted = Math.min(length, each);
      const beyond = Math.min(Math.max(0, wanted - floor), left);
      const given = Math.min(wanted, floor + beyond, leftInAll);
      left -= beyond;
      leftInAll -= given;
      return given;
    },
  };
}

function lengthOf(value: unknown): number {
  return JSON.stringify(value).length;
}

/** The first ones, as many as fit. */
function fitting<T>(items: readonly T[], length: number): T[] {
  const kept: T[] = [];
  let used = 2;
  for (const item of items) {
    used += lengthOf(item) + 1;
    if (used > length) break;
    kept.push(item);
  }
  return kept;
}

/** Text of one answer that is kept where an answer has to be cut, and entries of one of its lists. */
const SHORT_TEXT = 80;
const SHORT_LIST = 4;

/** Long texts and lists first; then portals, from the end. What was planned and asked stays whole. */
function shortenSighting(seen: AddressSighting, length: number): AddressSighting {
  const { identity, iscsi, presence, ...rest } = seen;
  const without = { ...rest, identity: shortened(identity), presence: shortened(presence) };
  const short = { ...without, iscsi } as AddressSighting;
  if (iscsi.outcome !== 'listed') return short;
  const room = length - lengthOf(without);
  const targets = fitting(iscsi.targets, room);
  const portals = (list: typeof iscsi.targets): number =>
    list.reduce((sum, target) => sum + target.portals.length, 0);
  const left = portals(iscsi.targets) - portals(targets);
  return {
    ...short,
    iscsi: {
      ...iscsi,
      targets,
      ...(iscsi.unreadable === undefined ? {} : { unreadable: shortened(iscsi.unreadable) }),
      cut: (iscsi.cut ?? 0) + left,
    },
  };
}

function shortened<T>(value: T): T {
  if (typeof value === 'string')
    return (
      value.length <= SHORT_TEXT ? value : `${value.slice(0, SHORT_TEXT).replace(/\p{Cs}$/u, '')}…`
    ) as T;
  if (Array.isArray(value)) return value.slice(0, SHORT_LIST).map(shortened) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, shortened(one)])) as T;
}
