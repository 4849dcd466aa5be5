/** Who is present on the link, and who claims what: DESIGN 5 "Presence on the wire". */
import { needsZone } from '../plan/address.js';
import type { Clock } from '../probe/types.js';
import type { LldpNeighbour, NotRun, PresenceSighting, ProxyArpCheck, Vantage } from '../sighting/types.js';
import type { System } from '../system/types.js';
import { reachOf } from '../vantage/reach.js';
import { askAll, type PresenceContext } from './ask-all.js';
import type { Datagrams } from './datagrams.js';
import { type Listener, listen } from './listen.js';
import { duplicateMend } from './mend-duplicates.js';
import { type KnownNetwork, watchProxies } from './proxy-check.js';
import { type AddressRecord, newRecord, sightingOf } from './record.js';

/** Sentences kept: devices that fight over addresses could say one with each frame. */
const NOTE_LIMIT = 200;

export interface FindRequest {
  readonly addresses: readonly string[];
  readonly vantage: Vantage;
  /** For the proxy ARP question: which planned device each address is of, and the plan's networks with what is taken in them. */
  readonly deviceOf?: ReadonlyMap<string, string> | undefined;
  readonly networks?: readonly KnownNetwork[] | undefined;
  /** On which port of the laptop a link-local address of IPv6 lies, where that is known of more than the ports. */
  readonly portOf?: ((address: string) => string | undefined) | undefined;
  readonly tableRoom?: TableRoom | undefined;
  /** What is known of the loss: how many questions make silence sure. Absent: `patienceMs` alone decides. */
  readonly silence?: Silence | undefined;
  /** The pace. Absent: no limit. */
  readonly frames?: Frames | undefined;
  /** How long a silent address is waited for, in milliseconds. Default 3200: Linux gives up after 3 s (RFC 4861 §10: three questions, 1 s apart). */
  readonly patienceMs?: number | undefined;
}

/** What the pace of the run is to those who ask for presence; src/run/pace.ts has the real one. */
export interface Frames {
  /** Takes up to so many frames that may leave now and gives how many. */
  take(wanted: number): number;
  /** Frames that have left without being asked for. */
  charge(frames: number): void;
}

/**
 * An address that is being asked holds a row of the kernel's neighbour table, which is small (Linux: 1,024 in all, gc_thresh3). Who
 * asks says how it goes, so that not more are looked for than can be asked.
 */
export interface TableRoom {
  /** How many more addresses may be found now. */
  room(): number;
  /** Addresses that have been asked everything since this was last called. */
  finished(): readonly string[];
}

/** What a run knows of its loss; src/run/silence.ts has the real one. */
export interface Silence {
  /** A question was answered at this try, counted from 1. */
  answeredAt(tries: number): void;
  /** How many questions to put before silence is told; `usual` where too few are there to know. */
  needed(usual: number): number;
  /** Upper bound of the chance that somebody who is there left so many questions unanswered. */
  missChance(asked: number): number;
}

export interface FindDeps {
  readonly system: System;
  /** See PresenceContext. */
  readonly lostSince?: ((port: string, sinceMs: number) => boolean) | undefined;
  readonly clock: Clock;
  readonly datagrams: () => Datagrams;
  /** The run's own listener, where it has one already; else one is opened for this and closed after. */
  readonly listener?: Listener | undefined;
}

export interface Found {
  readonly presence: ReadonlyMap<string, PresenceSighting>;
  readonly ownNeighbours: readonly LldpNeighbour[];
  readonly proxyArp: readonly ProxyArpCheck[];
  readonly notes: readonly string[];
}

/** Called once an address is known to be claimed, or to be left alone. A later claim of another device changes the final map alone. */
export type OnFound = (address: string, sighting: PresenceSighting) => void;

const DEFAULT_PATIENCE_MS = 3200;

/** Never rejects. An aborted signal leaves `not-run` for what was not settled. */
export async function findPresent(
  request: FindRequest,
  deps: FindDeps,
  signal: AbortSignal,
  onFound: OnFound = () => {},
): Promise<Found> {
  const { vantage } = request;
  const presence = new Map<string, PresenceSighting>();
  const records = new Map<string, AddressRecord>();
  for (const address of new Set(request.addresses)) {
    const where = recordOrReason(vantage, address, request.portOf);
    if ('outcome' in where) {
      presence.set(address, where);
      onFound(address, where);
    } else records.set(address, where);
  }
  if (records.size === 0) return { presence, ownNeighbours: [], proxyArp: [], notes: [] };
  const ports = [...new Set([...records.values()].map((record) => record.port))];
  const listener = deps.listener ?? (await listen(vantage, ports, deps, signal));
  const datagrams = deps.datagrams();
  const notes: string[] = [];
  const tell = (record: AddressRecord): PresenceSighting => {
    const captured = listener.interfaces().includes(record.port);
    const mend = duplicateMend(deps.system.platform, record, captured);
    const sighting = sightingOf(record, { captured, mend });
    return sighting.outcome !== 'unclaimed' || request.silence === undefined
      ? sighting
      : { ...sighting, missChance: request.silence.missChance(sighting.asked) };
  };
  const proxies = watchProxies(request, (record) =>
    askAll([record], { ...context, tableRoom: undefined, onKnown: () => {} }),
  );
  const context: PresenceContext = {
    vantage,
    deps,
    listener,
    datagrams,
    patienceMs: request.patienceMs ?? DEFAULT_PATIENCE_MS,
    signal,
    tableRoom: request.tableRoom,
    tries: new Map(),
    silence: request.silence,
    frames: request.frames,
    note: (text) => {
      if (notes.length < NOTE_LIMIT && !notes.includes(text)) notes.push(text);
    },
    onKnown: (record) => {
      proxies.see(record);
      onFound(record.address, tell(record));
    },
  };
  try {
    await askAll([...records.values()], context);
    for (const record of records.values()) {
      const sighting = signal.aborted && !record.done ? INTERRUPTED : tell(record);
      presence.set(record.address, sighting);
      if (!record.reported) onFound(record.address, sighting);
    }
    // Claims that came late count too.
    for (const record of records.values()) proxies.see(record);
    const proxyArp = await proxies.ended();
    return {
      presence,
      ownNeighbours: listener.neighbours(),
      proxyArp,
      notes: [...notes, ...(deps.listener === undefined ? listener.notes() : [])],
    };
  } finally {
    await proxies.ended();
    datagrams.close();
    if (deps.listener === undefined) await listener.stop();
  }
}

const INTERRUPTED: NotRun = { outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' };

function recordOrReason(
  vantage: Vantage,
  address: string,
  portOf: FindRequest['portOf'],
): AddressRecord | NotRun {
  const reach = reachOf(vantage, address);
  const known = needsZone(address) && !reach.own ? portOf?.(address) : undefined;
  if (known !== undefined) return newRecord(address, known, undefined);
  if (reach.loopback)
    return {
      outcome: 'not-run',
      cause: 'not-supported',
      reason: 'loopback: there is no wire, so nobody can be asked by ARP',
    };
  if (reach.reach !== 'on-link' || reach.interface === undefined)
    return {
      outcome: 'not-run',
      cause: reach.reach === 'routed' ? 'behind-router' : (reach.cause ?? 'no-route'),
      reason: reach.reason ?? 'not on this link: ARP does not pass a router',
    };
  const port = vantage.interfaces.find((each) => each.name === reach.interface);
  return newRecord(address, reach.interface, reach.own ? port?.mac : undefined);
}
