/** The one loop that asks, reads and waits: a few hundred questions open at a time, the silent ones all waiting together. */

import { setTimeout as sleep } from 'node:timers/promises';
import pLimit from 'p-limit';
import { familyOf } from '../plan/address.js';
import { within } from '../probe/bound.js';
import type { Vantage } from '../sighting/types.js';
import type { System } from '../system/types.js';
import { zoned } from '../system/zone.js';
import { askByArping } from './arping.js';
import { type BareQuestions, openBareQuestions } from './bare-questions.js';
import { confirmOldRow } from './confirm-old-row.js';
import type { Datagrams, SendOutcome } from './datagrams.js';
import type { Frames, Silence, TableRoom } from './find-present.js';
import { forgetRecords } from './forget.js';
import { isOldEntry } from './freshness.js';
import type { Listener } from './listen.js';
import { isLocalNetworkDenied, LOCAL_NETWORK_DENIED, type Tries } from './local-network.js';
import { type AddressRecord, LATE_ANSWER_MS, macsOf, startOver } from './record.js';
import {
  isHeard,
  isOver,
  type Means,
  needsArping,
  needsClearing,
  needsConfirming,
  needsQuestion,
  portAway,
  questionsPut,
  USUAL_QUESTIONS,
} from './steps.js';
import { takeFrame } from './take-frame.js';
import { isOnPort, takeRows } from './take-table.js';

export interface PresenceContext {
  readonly vantage: Vantage;
  readonly deps: {
    readonly system: System;
    readonly clock: { now(): number };
    /** The port was away at some moment since this one: silence then was the laptop's. */
    readonly lostSince?: ((port: string, sinceMs: number) => boolean) | undefined;
  };
  readonly listener: Listener;
  readonly datagrams: Datagrams;
  readonly patienceMs: number;
  readonly signal: AbortSignal;
  readonly note: (text: string) => void;
  readonly tableRoom?: TableRoom | undefined;
  /** How questions left, a port. */
  readonly tries: Map<string, Tries>;
  readonly silence?: Silence | undefined;
  readonly frames?: Frames | undefined;
  /** The address is claimed, or settled as claimed by nobody. */
  readonly onKnown: (record: AddressRecord) => void;
}

/** Addresses put to the kernel in one tick: a burst that the storm control of a switch lets pass (common practice, no source). */
const BURST = 256;
/** Unanswered questions open at a time: half of what the Linux neighbour table holds by default (gc_thresh3, 1024). */
const OPEN_LIMIT = 512;
/** Rows are taken out so many at once: it takes a program. */
const FORGET_AT = 64;
const QUICK_TICK_MS = 40;
const SLOW_TICK_MS = 120;
/** After a reading of the table, this many times its duration goes by until the next: a full table is slow to read. */
const LOOK_REST = 2;
/** Where a capture hears all questions and answers, the table is read as often as this, for the case that it tells more. */
const HEARD_REST_MS = 1000;
/** Between two clearings of rows: those who are asked again are asked together. */
const AGAIN_TOGETHER_MS = 120;
/** The same where more than so many are asked about: a clearing of the whole table makes all of them ask anew. */
const MANY = 64;
const MANY_TOGETHER_MS = 300;
/** An address this young is looked at with the quick tick. */
const YOUNG_MS = 500;
/** An address is asked so often where the laptop's port went away meanwhile. */
const TURNS = 3;
/** Processes of arping or ping at a time. */
const PROCESSES = 48;

/** Settles every record; ends early when the signal aborts. Never rejects. */
export async function askAll(records: readonly AddressRecord[], context: PresenceContext): Promise<void> {
  const { clock } = context.deps;
  const byAddress = new Map(records.map((record) => [record.address, record]));
  const ownMacs = new Set(context.vantage.interfaces.map((port) => port.mac));
  const unsubscribe = context.listener.subscribe((heard) => {
    const record = byAddress.get(heard.address);
    if (record === undefined) return;
    const before = record.heardQuestions;
    const note = takeFrame(record, heard, ownMacs);
    // The system asked by itself, because something else was sent there.
    if (record.heardQuestions > before && before >= record.sent) context.frames?.charge(1);
    if (note !== undefined) context.note(note);
  });
  const aside = within(context.signal);
  const jobs = sideJobs(context, aside.signal);
  let bare: BareQuestions | undefined;
  try {
    const able = await prepare(records, context);
    bare = openBareQuestions(context.deps.system, able.canClear);
    const usual = able.canClear ? USUAL_QUESTIONS.cleared : USUAL_QUESTIONS.kernel;
    const many = records.length > MANY;
    const meansNow = (): Means => ({
      ...able,
      many,
      bare: bare?.able(),
      needed: context.silence?.needed(usual),
    });
    const waiting = [...records];
    const open = new Set<AddressRecord>();
    const finished: AddressRecord[] = [];
    let againMs = 0;
    let roomMs = 0;
    let nextLookMs = 0;
    let lookedMs = Number.NEGATIVE_INFINITY;
    while ((waiting.length > 0 || open.size > 0) && !context.signal.aborted) {
      const means = meansNow();
      if (means.canClear) await makeRoom(byAddress, context, finished, waiting.length > 0);
      admit(waiting, open, clock.now(), context.tableRoom?.room());
      const again = means.canClear && clock.now() < againMs ? 'later' : 'now';
      if (await putQuestions([...open], means, bare, context, again))
        againMs = clock.now() + (open.size > MANY ? MANY_TOGETHER_MS : AGAIN_TOGETHER_MS);
      await pause(open, clock.now(), context.signal);
      const beganMs = clock.now();
      const seen = { ...means, nowMs: beganMs };
      const due = beganMs - lookedMs >= HEARD_REST_MS || [...open].some((record) => !isHeard(record, seen));
      if (due && beganMs >= nextLookMs) {
        await look([...open], context);
        lookedMs = clock.now();
        nextLookMs = lookedMs + LOOK_REST * (lookedMs - beganMs);
      }
      const asked = Math.max(0, ...[...open].map(({ questionMs = 0 }) => questionMs));
      roomMs = Math.max(roomMs, asked);
      const view = { ...meansNow(), nowMs: clock.now(), silent: countSilent(open), roomMs };
      for (const record of open) {
        jobs.begin(record, view);
        if (macsOf(record).length > 0) report(record, context, view);
        if (!isOver(record, view)) continue;
        if (wasDeaf(record, context)) {
          startOver(record, clock.now());
          continue;
        }
        record.done = true;
        record.put = questionsPut(record, view);
        if (macsOf(record).length === 0) bare.giveUp(record);
        report(record, context, view);
        open.delete(record);
      }
    }
    // A second device may have taken a row over since it was first read.
    if (!context.signal.aborted) await look(records, context);
  } finally {
    aside.end();
    bare?.close();
    await jobs.ended();
    unsubscribe();
  }
}

/** Silent, while the laptop's own port was away. True where it is worth asking again; else the silence is called the laptop's. */
function wasDeaf(record: AddressRecord, { deps }: PresenceContext): boolean {
  if (macsOf(record).length > 0 || record.refusal !== undefined || record.openedAtMs === undefined)
    return false;
  if (deps.lostSince?.(record.port, record.openedAtMs) !== true) return false;
  if (record.turns < TURNS) return true;
  record.refusal = portAway(record.port);
  return false;
}

/** What this machine may use here; rows from before are cleared, or remembered where they can not be. */
async function prepare(records: readonly AddressRecord[], context: PresenceContext): Promise<Means> {
  const { vantage, deps, listener } = context;
  const { arping, privileged, ping } = vantage.abilities;
  const asked = records.filter((record) => record.ownMac === undefined);
  const canClear = privileged && (await forgetRecords(asked, vantage, deps.system));
  const table = await deps.system.neighbours();
  if (!table.ok) context.note(`The neighbour table could not be read: ${table.reason}.`);
  else {
    const rows = new Map<string, (typeof table.rows)[number][]>();
    for (const row of table.rows) rows.set(row.address, [...(rows.get(row.address) ?? []), row]);
    for (const record of asked) {
      const row = rows.get(record.address)?.find((each) => isOnPort(each, record.port));
      if (row !== undefined && isOldEntry(row)) record.before = { row, atMs: deps.clock.now() };
    }
  }
  return {
    canClear,
    tableReadable: table.ok,
    tableShowsQuestions: table.ok && table.showsQuestions,
    arping: arping.able ? arping.flavour : undefined,
    ping: ping.able,
    patienceMs: context.patienceMs,
    neighbourKeptMs: deps.system.timings.neighbourKeptMs,
    captured: (port) => listener.interfaces().includes(port) || listener.opening?.().includes(port) === true,
    opening: (port) => listener.opening?.().includes(port) === true,
  };
}

/** Takes the rows of those out of the table that nothing more is asked of, where others wait: the kernel keeps them for half a minute. */
async function makeRoom(
  records: ReadonlyMap<string, AddressRecord>,
  context: PresenceContext,
  finished: AddressRecord[],
  needed: boolean,
): Promise<void> {
  for (const address of context.tableRoom?.finished() ?? []) {
    const record = records.get(address);
    if (record === undefined || record.ownMac !== undefined) continue;
    record.finished = true;
    finished.push(record);
  }
  if (!needed) return;
  // A second claimant of those that are not done may still show itself.
  const done = finished.filter((record) => record.done);
  if (done.length < FORGET_AT) return;
  finished.splice(0, finished.length, ...finished.filter((record) => !record.done));
  await forgetRecords(done, context.vantage, context.deps.system);
}

function admit(
  waiting: AddressRecord[],
  open: Set<AddressRecord>,
  nowMs: number,
  free = Number.POSITIVE_INFINITY,
): void {
  // Of those that are silent yet, any may turn out to be there.
  const silent = countSilent(open);
  const room = Math.min(BURST, OPEN_LIMIT - silent, free - silent, waiting.length);
  for (const record of waiting.splice(0, Math.max(0, room))) {
    record.openedAtMs = nowMs;
    open.add(record);
  }
}

/**
 * Sends to those whose time has come; rows are cleared first where that is allowed, or the kernel would not ask again. True where some
 * were cleared.
 */
async function putQuestions(
  open: readonly AddressRecord[],
  means: Means,
  bare: BareQuestions,
  context: PresenceContext,
  again: 'now' | 'later',
): Promise<boolean> {
  const nowMs = context.deps.clock.now();
  const view = { ...means, nowMs };
  const wanted = open.filter(
    (record) =>
      (again === 'now' || record.sent === 0 || record.cleared === true) && needsQuestion(record, view),
  );
  // Who was not asked yet comes first: the wait for a late second answer begins with the first question.
  wanted.sort((one, other) => Math.min(one.sent, 1) - Math.min(other.sent, 1));
  const due = wanted.slice(0, allowed(wanted.length, bare.fits(wanted) ? 1 : FRAMES, context));
  const byDatagram = new Set(bare.ask(due));
  const stale = [
    ...wanted.filter((record) => record.sent > 0 && byDatagram.has(record)),
    ...(again === 'now' ? open.filter((record) => needsClearing(record, view)) : []),
  ].filter((record) => record.cleared !== true);
  if (stale.length > 0 && means.canClear) {
    await forgetRecords(stale, context.vantage, context.deps.system);
    for (const record of stale) record.cleared = true;
  }
  await Promise.all(
    due.map(async (record) => {
      const outcome = byDatagram.has(record) ? await context.datagrams.send(onWire(record, context)) : 'sent';
      countTry(context.tries, record.port, outcome);
      // No room, or no port: the next tick tries again, until `isOver` calls it off.
      if (outcome === 'full' || outcome === 'away') {
        record.kept = { why: outcome, sinceMs: record.kept?.sinceMs ?? context.deps.clock.now() };
        return;
      }
      record.kept = undefined;
      if (outcome === 'refused')
        record.refusal = { cause: 'local-failure', reason: 'the system does not send to this address' };
      else if (outcome === 'down') record.questionMs ??= context.deps.clock.now();
      else if (outcome === 'unreachable') record.unreachable = true;
      else if (record.sent > 0 && record.row?.state === 'failed') record.asked += 2;
      record.sent += 1;
      record.cleared = false;
      if (record.questionMs !== undefined || record.sent === 1) record.asked += 1;
      record.lastSentMs = context.deps.clock.now();
    }),
  );
  const unreachable = due.filter((record) => record.unreachable === true && record.refusal === undefined);
  if (unreachable.length > 0) await judgeUnreachable(unreachable, context);
  return stale.length > 0;
}

function onWire({ address, port }: AddressRecord, { deps: { system } }: PresenceContext): string {
  return zoned(system, address, port);
}

function countTry(tries: Map<string, Tries>, port: string, outcome: SendOutcome): void {
  const { sent, unreachable } = tries.get(port) ?? { sent: 0, unreachable: 0 };
  tries.set(port, {
    sent: sent + (outcome === 'sent' || outcome === 'down' ? 1 : 0),
    unreachable: unreachable + (outcome === 'unreachable' ? 1 : 0),
  });
}

/** "No route to host" at once, for an address on the own link: the permission of macOS, a question remembered as unanswered, or a route that forbids. */
async function judgeUnreachable(records: readonly AddressRecord[], context: PresenceContext): Promise<void> {
  const { system, clock } = context.deps;
  const table = await system.neighbours();
  for (const record of records) {
    const tries = context.tries.get(record.port) ?? { sent: 0, unreachable: 0 };
    if (isLocalNetworkDenied(system.platform, record.port, tries, table.ok ? table.rows : []))
      record.refusal = LOCAL_NETWORK_DENIED;
    else if (system.timings.holdDownMs > 0 && tries.sent > 0) record.questionMs ??= clock.now();
    else
      record.refusal = {
        cause: 'local-failure',
        reason: 'the system has no way to this address ("no route to host")',
      };
  }
}

/** Frames of one question: ARP, and the datagram behind it, where that made the system ask. */
const FRAMES = 2;

/** How many of so many questions, of so many frames each, may leave now. What has to wait comes with the next tick. */
function allowed(questions: number, each: number, { frames }: PresenceContext): number {
  if (frames === undefined || questions === 0) return questions;
  return Math.floor(frames.take(questions * each) / each);
}

async function look(records: readonly AddressRecord[], { deps }: PresenceContext): Promise<void> {
  const atMs = deps.clock.now();
  const table = await deps.system.neighbours();
  if (table.ok) takeRows(records, table.rows, atMs);
}

async function pause(open: Set<AddressRecord>, nowMs: number, signal: AbortSignal): Promise<void> {
  const young = [...open].some((record) => nowMs - (record.openedAtMs ?? nowMs) < YOUNG_MS);
  // A claimed address is done so long after its first question: not a tick later.
  const due = [...open].map(({ firstHeardMs = nowMs }) => firstHeardMs + LATE_ANSWER_MS - nowMs);
  const slow = Math.max(QUICK_TICK_MS, Math.min(SLOW_TICK_MS, ...due.filter((ms) => ms > 0)));
  await sleep(young ? QUICK_TICK_MS : slow, undefined, { signal }).catch(() => {});
}

function report(
  record: AddressRecord,
  context: PresenceContext,
  view: Parameters<typeof questionsPut>[1],
): void {
  if (record.reported) return;
  record.reported = true;
  if (macsOf(record).length > 0 && record.ownMac === undefined)
    context.silence?.answeredAt(record.triesToClaim ?? Math.max(1, questionsPut(record, view)));
  context.onKnown(record);
}

function countSilent(open: Set<AddressRecord>): number {
  return [...open].filter((record) => macsOf(record).length === 0).length;
}

/** arping and confirming, a process each, beside the loop. */
function sideJobs(context: PresenceContext, signal: AbortSignal) {
  const limit = pLimit(PROCESSES);
  const running = new Set<Promise<void>>();
  const start = (record: AddressRecord, work: () => Promise<void>): void => {
    record.busy += 1;
    const job = limit(async () => {
      if (!signal.aborted) await work();
    }).finally(() => {
      record.busy -= 1;
      running.delete(job);
    });
    running.add(job);
  };
  return {
    begin: (record: AddressRecord, view: Parameters<typeof needsArping>[1]): void => {
      const { programs, platform } = context.deps.system;
      const { arping, ping } = view;
      if (arping !== undefined && familyOf(record.address) === 4 && needsArping(record, view)) {
        record.begun.add('arping');
        start(record, () => askByArping(record, arping, programs, signal));
      }
      if (needsConfirming(record)) {
        record.begun.add('confirming');
        const { datagrams } = context;
        const address = onWire(record, context);
        start(record, () => confirmOldRow(record, { address, programs, platform, datagrams, ping }, signal));
      }
    },
    ended: () => Promise.allSettled([...running]),
  };
}
