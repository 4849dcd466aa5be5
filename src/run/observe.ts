/**
 * One look from one place: the only scheduler. Presence first, then each device as soon as it is known to be there, then the tables
 * that need a whole device. Read only; nothing outside the plan is asked unless the request says so.
 */

import { thereAlone } from '../evidence/there.js';
import { isLoopback } from '../plan/address.js';
import type { Endpoint, Plan } from '../plan/model.js';
import type { Clock } from '../probe/types.js';
import { createCeilings, cutNote } from '../sighting/ceilings.js';
import type { AddressSighting, Evidence, NotRun, PresenceSighting, Vantage } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { count, list } from '../text/sentence.js';
import { laterTime } from '../text/time.js';
import { askAddress, lookAgain } from './ask.js';
import type { AskContext } from './ask-context.js';
import { blankSighting, type Standpoint } from './blank.js';
import { createDeviceShares, DEFAULT_SHARE, type ShareLimits } from './device-share.js';
import type { Entry } from './journal-entry.js';
import { moment } from './moment.js';
import { ownPortNotes } from './own-port.js';
import { createPacer, DEFAULT_PACE, type PaceLimits, realSleep, type Sleep } from './pace.js';
import { DEFAULT_PATIENCES, type Patiences } from './patience.js';
import { joinNeighbours, withEarlier, withLatest } from './presence-merge.js';
import type { Credential, ProbeSet } from './probe-set.js';
import { type Question, questionsFor } from './questions.js';
import { type EarlierAnswers, ranOut } from './resume.js';
import { createLossCounter } from './silence.js';
import { withSwitchWord } from './standpoint.js';
import {
  needsPresence,
  type PresenceAnswer,
  type PresenceRequest,
  type Surroundings,
} from './surroundings.js';
import { startTables } from './tables.js';
import { startTiming } from './timing.js';

export interface ObserveRequest {
  readonly plan: Plan;
  readonly stage: 'power-on' | 'configured';
  readonly only?: readonly string[] | undefined;
  /** Further addresses to ask, for a survey. Those that answer nothing leave no sighting. */
  readonly sweep?: readonly string[] | undefined;
  /** Sightings of an interrupted run: these addresses are not asked again. */
  readonly earlier?: EarlierAnswers | undefined;
  /** What eyes saw and what was pulled in the run that is gone on with. */
  readonly carried?: Pick<Evidence, 'attestations' | 'drills'> | undefined;
  readonly vantageName?: string | undefined;
  /** Told each thing as soon as it is settled. Must not throw. */
  readonly onEntry?: ((entry: Entry) => void) | undefined;
  readonly pace?: PaceLimits | undefined;
  readonly patiences?: Patiences | undefined;
  /** What one device may cost. */
  readonly share?: ShareLimits | undefined;
}

export interface ObserveDeps {
  readonly surroundings: Surroundings;
  readonly probes: ProbeSet;
  readonly clock: Clock;
  readonly sleep?: Sleep | undefined;
  /** As this system keeps time; a request may have its own. */
  readonly patiences?: Patiences | undefined;
}

export interface Progress {
  readonly phase: 'looking' | 'asking' | 'tables' | 'done';
  readonly done: number;
  readonly total: number;
  /** Addresses that answered anything so far. */
  readonly answered: number;
}

/** Addresses looked for and asked at a time: each holds a row of the kernel's neighbour table, which on Linux has 1,024 (gc_thresh3). */
const AT_WORK = 704;

export async function observe(
  request: ObserveRequest,
  deps: ObserveDeps,
  signal: AbortSignal,
  onProgress: (progress: Progress) => void = () => {},
): Promise<Evidence> {
  const { plan } = request;
  const timing = startTiming(deps.clock);
  const now = timing.startedAt;
  const questions = questionsFor(plan, { only: request.only, sweep: request.sweep });
  const pace = request.pace ?? DEFAULT_PACE;
  const pacer = createPacer(pace, deps.clock, deps.sleep ?? realSleep, signal);
  const patiences = request.patiences ?? deps.patiences ?? DEFAULT_PATIENCES;
  const [vantage, credentials] = await Promise.all([
    deps.surroundings.vantage(request.vantageName),
    resolveAll(plan, deps.probes),
  ]);
  moment('vantage known');
  let answeredMs = performance.now();
  const losses = createLossCounter(() => {
    answeredMs = performance.now();
  });
  const shares = createDeviceShares(request.share ?? shareAt(pace));
  const tell = request.onEntry ?? (() => {});
  const { earlier } = request;
  const { probes } = deps;
  tell({ kind: 'begun', vantage, at: now });

  const sightings = new Map<string, AddressSighting>();
  const progress = { done: 0, total: questions.length, answered: 0 };
  onProgress({ phase: 'looking', ...progress });
  const ceilings = createCeilings();
  const tables = startTables(plan, {
    probes,
    pacer,
    patiences,
    shares,
    credentials,
    signal,
    earlier,
    ceilings,
    tell,
  });
  // What was settled early may have become more since: a second device that answered late.
  let latest: ReadonlyMap<string, PresenceSighting> = new Map();
  const keep = (asked: AddressSighting, isNews = true): void => {
    // What an earlier run had settled counts as well: one gone on with many times keeps no more than one that ran through.
    const sighting = ceilings.sighting(withLatest(asked, latest));
    sightings.set(sighting.address, sighting);
    if (isNews) tell({ kind: 'sighting', sighting });
    progress.done += 1;
    if (thereAlone(sighting)) progress.answered += 1;
    onProgress({ phase: 'asking', ...progress });
  };
  const contextFor = (question: Question, standpoint: Standpoint): AskContext => ({
    probes: deps.probes,
    pacer,
    patiences,
    losses,
    shares,
    signal,
    onAgent: tables.agent,
    credential: credentials.get(question.snmp ?? ''),
    interfaceMtu: vantage.interfaces.find(({ name }) => name === standpoint.interface)?.mtu,
  });

  const faults: string[] = [];
  // Probes do not reject; should one have a fault of its own, it costs one address and is said.
  const askSafely = (
    question: Question,
    standpoint: Standpoint,
    presence: PresenceSighting,
  ): Promise<AddressSighting> =>
    askAddress(question, standpoint, presence, contextFor(question, standpoint)).catch((error: unknown) => {
      const reason = `a probe failed inside the program: ${cleanText(String(error))}`;
      faults.push(`${question.address}: ${reason}`);
      return blankSighting(question, standpoint, presence, { cause: 'program-fault', reason });
    });

  const standing = new Map(
    questions.map((question) => [
      question.address,
      { question, standpoint: deps.surroundings.standpoint(vantage, question.address, plan) },
    ]),
  );
  const asking: Promise<void>[] = [];
  let atWork = 0;
  const finished: string[] = [];
  const ask = (address: string, presence: PresenceSighting): void => {
    const known = standing.get(address);
    if (sightings.has(address)) finished.push(address);
    if (known === undefined || sightings.has(address)) return;
    const { question, standpoint } = known;
    const blocked = blockedReason(standpoint, address, presence);
    if (blocked !== undefined) keep(blankSighting(question, standpoint, presence, blocked));
    else {
      atWork += 1;
      asking.push(
        askSafely(question, standpoint, presence).then((sighting) => {
          atWork -= 1;
          finished.push(address);
          keep(sighting);
        }),
      );
    }
  };

  const kept = (request.earlier?.sightings ?? []).filter(({ address, reach }) => {
    const here = standing.get(address)?.standpoint.reach;
    return here === reach && reach !== 'no-route';
  });
  for (const sighting of kept) {
    keep(sighting, false);
    const question = standing.get(sighting.address)?.question;
    if (question !== undefined) tables.agent(question, sighting.snmp);
  }
  const presenceAgain = request.earlier !== undefined && request.earlier.presence === undefined;
  const onLink: string[] = [];
  for (const [address, { standpoint }] of standing) {
    if (sightings.has(address) && !presenceAgain) continue;
    if (needsPresence(standpoint, address)) onLink.push(address);
    else ask(address, { outcome: 'not-run', ...whyNoPresence(standpoint, address) });
  }
  const tableRoom = { room: () => AT_WORK - atWork, finished: () => finished.splice(0) };
  const course = { tableRoom, silence: losses, frames: pacer };
  const looked = await findPresent(request, deps, vantage, onLink, course, signal, ask);
  moment('presence settled');
  const presence = withEarlier(looked, request.earlier?.presence);
  latest = presence.presence;
  for (const [address, sighting] of sightings) {
    const merged = withLatest(sighting, latest);
    if (merged === sighting) continue;
    const now = ceilings.presence(merged);
    sightings.set(address, now);
    tell({ kind: 'sighting', sighting: now });
  }
  const { ownNeighbours: heardBy, proxyArp, notes } = presence;
  const ownClaimed = request.earlier?.presence?.ownClaimed ?? [];
  if (!signal.aborted)
    tell({ kind: 'presence', facts: { ownNeighbours: heardBy, ownClaimed, proxyArp, notes } });
  for (const address of onLink) {
    if (!sightings.has(address) && presence.presence.get(address) === undefined)
      ask(address, {
        outcome: 'not-run',
        ...(signal.aborted
          ? { cause: 'interrupted' as const, reason: 'interrupted' }
          : { cause: 'local-failure' as const, reason: 'the neighbour question was not settled' }),
      });
  }
  await Promise.all(asking);
  moment('last first answer', answeredMs);
  moment('all asked');
  const fromBefore = new Set(kept.map(({ address }) => address));
  await Promise.all(
    [...sightings].map(async ([address, sighting]) => {
      const known = standing.get(address);
      if (known === undefined || fromBefore.has(address) || signal.aborted) return;
      if (!mayHideAnother(sighting, known.question)) return;
      const context = contextFor(known.question, known.standpoint);
      const again = await lookAgain(known.question, sighting, context).catch(() => sighting);
      if (again === sighting) return;
      const now = ceilings.changed(again);
      sightings.set(address, now);
      tell({ kind: 'sighting', sighting: now });
    }),
  );

  onProgress({ phase: 'tables', ...progress });
  const { links, switches, fabrics, power } = await tables.ended();
  const heard = await deps.surroundings.endListening?.();
  moment('tables read');
  const ownNeighbours = joinNeighbours(presence.ownNeighbours, heard?.ownNeighbours ?? []);
  onProgress({ phase: 'done', ...progress });

  return {
    vantage,
    startedAt: request.earlier?.startedAt ?? now,
    finishedAt: laterTime(request.earlier?.startedAt ?? '', timing.finishedAt()),
    stage: request.stage,
    ...(request.only === undefined ? {} : { only: request.only }),
    complete: !signal.aborted && !ranOut([...sightings.values()]),
    sightings: questions.flatMap((question) => {
      const sighting = sightings.get(question.address);
      return sighting === undefined || (question.kind === 'swept' && !thereAlone(sighting))
        ? []
        : [withSwitchWord(sighting, plan, vantage, ownNeighbours)];
    }),
    links,
    switches,
    fabrics,
    power,
    ownNeighbours,
    ownClaimed: joinOwnClaimed(ownClaimed, heard?.ownClaimed ?? []),
    proxyArp: presence.proxyArp,
    attestations: request.carried?.attestations ?? [],
    drills: request.carried?.drills ?? [],
    notes: [
      ...resumedNote(request.earlier, kept.length, now),
      ...ownPortNotes(ownNeighbours),
      ...presence.notes,
      ...(heard?.notes ?? []),
      ...cutNote(ceilings.cut()),
      ...shareNote(shares.cut()),
      ...faults,
    ],
  };
}

async function findPresent(
  request: ObserveRequest,
  deps: ObserveDeps,
  vantage: Vantage,
  addresses: readonly string[],
  course: Pick<PresenceRequest, 'tableRoom' | 'silence' | 'frames'>,
  signal: AbortSignal,
  onFound: (address: string, presence: PresenceSighting) => void,
): Promise<PresenceAnswer> {
  if (addresses.length === 0) return { presence: new Map(), ownNeighbours: [], proxyArp: [], notes: [] };
  const { plan } = request;
  const withAddress = plan.endpoints.filter(
    (endpoint): endpoint is Endpoint & { address: string } => endpoint.address !== undefined,
  );
  const told = new Set<string>();
  const once = (address: string, sighting: PresenceSighting): void => {
    if (told.has(address)) return;
    told.add(address);
    onFound(address, sighting);
  };
  const answer = await deps.surroundings.findPresent(
    {
      addresses,
      vantage,
      // Whoever answers at swept addresses is nobody's yet: each counts for itself, or a router would pass for a crowd.
      deviceOf: new Map([
        ...(request.sweep ?? []).map((address) => [address, address] as const),
        ...withAddress.map(({ address, device }) => [address, device] as const),
      ]),
      planned: new Set(withAddress.map(({ address }) => address)),
      networks: plan.networks,
      ...course,
    },
    signal,
    once,
  );
  for (const [address, sighting] of answer.presence) once(address, sighting);
  return answer;
}

function joinOwnClaimed(
  earlier: Evidence['ownClaimed'],
  now: Evidence['ownClaimed'],
): Evidence['ownClaimed'] {
  const again = new Set(now.map(({ address }) => address));
  return [...earlier.filter(({ address }) => !again.has(address)), ...now];
}

/** Where ARP alone could not exclude a second device: does it still say the same in another connection? */
function mayHideAnother({ presence }: AddressSighting, { kind }: Question): boolean {
  return presence.outcome === 'claimed' && presence.duplicateCheck !== 'proven' && kind !== 'swept';
}

type Why = Pick<NotRun, 'cause' | 'reason'>;

/** Why an address gets no further question, or undefined where it gets one. */
function blockedReason(standpoint: Standpoint, address: string, presence: PresenceSighting): Why | undefined {
  if (standpoint.reach === 'no-route')
    return {
      cause: standpoint.reachCause ?? 'no-route',
      reason: standpoint.reachReason ?? 'no route from here',
    };
  if (standpoint.own && !isLoopback(address))
    return { cause: 'own-address', reason: "this is the laptop's own address" };
  if (presence.outcome === 'unclaimed')
    return { cause: 'nobody-there', reason: 'nobody on this link claims the address' };
  return undefined;
}

function whyNoPresence(standpoint: Standpoint, address: string): Why {
  if (isLoopback(address))
    return { cause: 'not-supported', reason: 'a loopback address is claimed by nobody on a wire' };
  return standpoint.reach === 'routed'
    ? { cause: 'behind-router', reason: 'behind a router: only the router is seen by ARP' }
    : { cause: standpoint.reachCause ?? 'no-route', reason: standpoint.reachReason ?? 'no route from here' };
}

function resumedNote(earlier: EarlierAnswers | undefined, kept: number, at: string): string[] {
  if (earlier === undefined) return [];
  return [
    `Begun ${earlier.startedAt}, interrupted, and resumed ${at}: ${count(kept, 'address', 'addresses')} had been tested before.`,
  ];
}

/** Where somebody wants a slower pace, silence may take longer in proportion: the questions of a device wait for each other. */
function shareAt({ devicePerSecond }: PaceLimits): ShareLimits {
  const slower = Math.max(1, DEFAULT_PACE.devicePerSecond / devicePerSecond);
  return { ...DEFAULT_SHARE, silentMs: DEFAULT_SHARE.silentMs * slower };
}

function shareNote(devices: readonly string[]): string[] {
  return devices.length === 0
    ? []
    : [
        `${list(devices)} took up all the time that one device may cost: what was not asked of it is unproven.`,
      ];
}

async function resolveAll(plan: Plan, probes: ProbeSet): Promise<ReadonlyMap<string, Credential>> {
  const resolved = Object.values(plan.snmp).map(
    async (credential) => [credential.name, await probes.resolveCredential(credential)] as const,
  );
  return new Map(await Promise.all(resolved));
}
