/** What an address needs next, and when it is settled. Pure: the record, the means and the clock decide. */
import { familyOf } from '../plan/address.js';
import type { ArpingFlavour } from './arping-output.js';
import { type AddressRecord, LATE_ANSWER_MS, macsOf } from './record.js';
import { hasOldRow } from './take-table.js';

/** What this machine may use. */
export interface Means {
  /** Rows of the neighbour table can be cleared, so that each datagram makes a new question to all. */
  readonly canClear: boolean;
  readonly tableReadable: boolean;
  /** The table has a row for every address asked about, answered or not (not so in Windows without PowerShell). */
  readonly tableShowsQuestions: boolean;
  readonly arping: ArpingFlavour | undefined;
  readonly ping: boolean;
  readonly patienceMs: number;
  /** How long the system keeps a neighbour that answered, without asking again (src/system: timings). */
  readonly neighbourKeptMs: number;
  /** Questions before silence is told; absent: `patienceMs` alone decides. */
  readonly needed?: number | undefined;
  /** A capture runs on the port, or begins. */
  readonly captured: (port: string) => boolean;
  /** More addresses are asked about than a few: what else they are asked goes on for a while. */
  readonly many?: boolean | undefined;
  /** The system is made to ask, and nothing else leaves for it: no need to wait until something is sent there anyway. */
  readonly bare?: boolean | undefined;
  /** It has not begun yet. */
  readonly opening?: ((port: string) => boolean) | undefined;
}

export interface MeansNow extends Means {
  readonly nowMs: number;
  /** The clock when the table last had room for a question, of whichever address. */
  readonly roomMs?: number | undefined;
}

/** When an address is asked again where the table can be cleared, in milliseconds after the first time. The kernel itself asks once a second. */
const AGAIN_MS = [350, 900, 1600, 2400] as const;
/** The same of a claimed address: two devices may take turns. */
const CLAIMED_AGAIN_MS = [150, 400] as const;
/** The same of a silent one, where it is known how many questions make silence sure; and the wait for the last answer. */
const SILENT_AGAIN_MS = 250;
const LAST_ANSWER_MS = 500;
/** Where the system was left to ask by itself and did not, it is made to after so long. */
const ASKS_BY_ITSELF_MS = 800;
/** A question that a capture has not heard by then was perhaps never put. */
const UNHEARD_AFTER_MS = 150;
/** A capture that heard none of so many questions hears nothing. */
const MOST_UNHEARD = 6;
/** A kernel that nobody hurries puts its questions so far apart, and three of them in a row (RFC 4861 §10; arp_notify and the like do not matter here). */
const KERNEL_GAP_MS = 1000;
const KERNEL_QUESTIONS = 3;
/** What is asked where too few are there to tell how much gets lost. */
export const USUAL_QUESTIONS = { cleared: 8, kernel: KERNEL_QUESTIONS } as const;
/** Questions to all that a claimed address gets where the table can be cleared: two devices may take turns. */
const CLAIMED_QUESTIONS = 3;
/** A failed row is not believed to be about this question before this age. */
const FAILED_MIN_MS = 500;
/**
 * A row left from before is given up by the kernel after 5 s of delay and three questions a second apart
 * (RFC 4861 §10 DELAY_FIRST_PROBE_TIME, MAX_UNICAST_SOLICIT, RETRANS_TIMER).
 */
const OLD_ROW_MS = 8600;
/** Linux swallows datagrams that its full table has no room for; it frees rows that are idle for 5 s, but none that were confirmed within the last half minute. */
const NO_ROOM_MS = 6000;
const NO_ROOM_RETRY_MS = 300;
/** Silent addresses that arping asks as well: one process each. */
const SILENT_BY_ARPING = 64;
const SILENT_AFTER_MS = 300;
/** The table is read several times before a claim found there alone is let go. */
const TABLE_SETTLES_MS = 150;

export function needsQuestion(record: AddressRecord, view: MeansNow): boolean {
  if (record.ownMac !== undefined || record.refusal !== undefined) return false;
  if (record.sent === 0) return true;
  const sinceSent = view.nowMs - (record.lastSentMs ?? view.nowMs);
  if (!wasAsked(record, view)) return sinceSent >= NO_ROOM_RETRY_MS;
  const age = ageOf(record, view);
  if (view.canClear) {
    if (macsOf(record).length > 0) {
      const next = CLAIMED_AGAIN_MS[record.sent - 1];
      if (isUnheard(record, view)) return record.sent < MOST_UNHEARD && sinceSent >= SILENT_AGAIN_MS;
      if (toAll(record) >= CLAIMED_QUESTIONS) return false;
      if (view.bare === true && isBeingAsked(record)) return false;
      if (mayAskByItself(record, view))
        return view.nowMs - (record.heardQuestionMs ?? view.nowMs) >= ASKS_BY_ITSELF_MS;
      return next !== undefined && age >= next;
    }
    if (view.needed !== undefined) return record.sent < view.needed && sinceSent >= SILENT_AGAIN_MS;
    const next = AGAIN_MS[record.sent - 1];
    return next !== undefined && age >= next && age < view.patienceMs;
  }
  const more = view.needed === undefined ? age < view.patienceMs : questionsPut(record, view) < view.needed;
  return macsOf(record).length === 0 && record.row?.state === 'failed' && sinceSent >= FAILED_MIN_MS && more;
}

/**
 * The last question was not answered yet: the system goes on by itself. Made to ask anew it would throw away what waits for the answer, and
 * call the device unreachable.
 */
function isBeingAsked({ heardQuestions, claims }: AddressRecord): boolean {
  const heard = [...claims.values()].filter(({ method }) => method === 'capture');
  return heard.length > 0 && heardQuestions > Math.max(...heard.map(({ count }) => count));
}

/** Questions to everybody so far. The system puts more by itself, where its row was cleared and something else is sent there. */
function toAll(record: AddressRecord): number {
  return Math.max(record.sent, record.heardQuestions);
}

/**
 * Where many are asked, whatever else is sent to a claimed address makes the system put the question anew, once its row is cleared: a
 * datagram for that alone is a frame saved.
 */
function mayAskByItself(record: AddressRecord, view: MeansNow): boolean {
  const isAsked = view.many === true && view.bare !== true && record.finished !== true;
  return isAsked && view.captured(record.port) && record.heardQuestions > 0;
}

/** Its row is cleared, so that what is sent there next makes the system ask to all. */
export function needsClearing(record: AddressRecord, view: MeansNow): boolean {
  return (
    view.canClear &&
    macsOf(record).length > 0 &&
    mayAskByItself(record, view) &&
    toAll(record) < CLAIMED_QUESTIONS &&
    view.nowMs - (record.heardQuestionMs ?? view.nowMs) >= CLAIMED_AGAIN_MS[0]
  );
}

/** The table would tell nothing that a capture does not: its question was heard, or it is too early to say that it was not. */
export function isHeard(record: AddressRecord, view: MeansNow): boolean {
  if (!view.captured(record.port)) return false;
  const sinceSent = view.nowMs - (record.lastSentMs ?? view.nowMs);
  return record.heardQuestions > 0 || sinceSent < UNHEARD_AFTER_MS;
}

/** The capture began after the questions: one more is put, for it to hear. */
function isUnheard(record: AddressRecord, view: MeansNow): boolean {
  return record.heardQuestions === 0 && view.captured(record.port) && view.opening?.(record.port) === false;
}

/** Questions to everybody that have gone out about the address, as far as is known. */
export function questionsPut(record: AddressRecord, view: Pick<MeansNow, 'canClear' | 'nowMs'>): number {
  const sinceSent = view.nowMs - (record.lastSentMs ?? view.nowMs);
  const byKernel = Math.min(KERNEL_QUESTIONS - 1, Math.floor(sinceSent / KERNEL_GAP_MS));
  const asked = record.asked + (view.canClear ? 0 : byKernel);
  return Math.max(asked, record.heardQuestions);
}

/** Enough questions are out for silence to be sure, and the last has had its time. */
function isSilent(record: AddressRecord, view: MeansNow, age: number): boolean {
  const { needed } = view;
  if (needed === undefined) return age >= view.patienceMs;
  const sinceSent = view.nowMs - (record.lastSentMs ?? view.nowMs);
  if (view.canClear) return record.sent >= needed && sinceSent >= LAST_ANSWER_MS;
  const put = questionsPut(record, view);
  const sinceLast =
    sinceSent - Math.min(KERNEL_QUESTIONS - 1, Math.floor(sinceSent / KERNEL_GAP_MS)) * KERNEL_GAP_MS;
  return age >= view.patienceMs && put >= needed && sinceLast >= KERNEL_GAP_MS;
}

export function needsArping(record: AddressRecord, view: MeansNow & { readonly silent: number }): boolean {
  if (view.arping === undefined || record.begun.has('arping')) return false;
  if (record.ownMac !== undefined) return true;
  if (hasOldRow(record)) return true;
  // A capture alone sees every answer, but where the table can not be cleared the kernel puts one question only.
  if (macsOf(record).length > 0) return !(view.captured(record.port) && view.canClear);
  if (view.captured(record.port)) return false;
  return ageOf(record, view) >= SILENT_AFTER_MS && view.silent <= SILENT_BY_ARPING;
}

export function needsConfirming(record: AddressRecord): boolean {
  return hasOldRow(record) && !record.begun.has('confirming');
}

/** macOS keeps a row for twenty minutes, the others for less than one. */
function waitFor(keptMs: number): string {
  const minutes = Math.ceil(keptMs / 60_000);
  return minutes === 1 ? 'a minute' : `${minutes} minutes`;
}

/** Why nothing can be said of an address behind a port of the laptop that was away. */
export function portAway(port: string) {
  return {
    cause: 'interface-down',
    reason: `${port} of this laptop lost its link or its address`,
    mend: `look at the cable of ${port}, and run it again`,
  } as const;
}

/** False where a datagram was handed over and the kernel has no row for it: its table is full and nobody was asked. */
function wasAsked(record: AddressRecord, view: MeansNow): boolean {
  if (record.sent === 0) return false;
  return (
    record.questionMs !== undefined ||
    record.arpingQuestions > 0 ||
    macsOf(record).length > 0 ||
    !view.tableShowsQuestions
  );
}

/** Milliseconds since the address was really asked about. */
function ageOf(record: AddressRecord, view: MeansNow): number {
  return view.nowMs - (record.questionMs ?? record.openedAtMs ?? view.nowMs);
}

/** True where nothing more can be learned of the address in this run. May write why into `refusal`. */
export function isOver(record: AddressRecord, view: MeansNow): boolean {
  if (record.busy > 0) return false;
  if (record.refusal !== undefined) return true;
  const age = ageOf(record, view);
  const keptMs = record.kept === undefined ? 0 : view.nowMs - record.kept.sinceMs;
  if (keptMs >= NO_ROOM_MS && macsOf(record).length > 0) return true;
  if (keptMs >= NO_ROOM_MS && record.kept?.why === 'away') {
    record.refusal = { ...portAway(record.port), unasked: true };
    return true;
  }
  if (macsOf(record).length > 0) return claimedIsOver(record, view, age);
  if (!view.tableReadable && !view.captured(record.port) && record.arpingQuestions === 0) {
    record.refusal = {
      cause: 'not-supported',
      reason: 'neither the neighbour table, a capture nor arping can show who answers',
      mend: 'matchmark kit says what is missing on this system',
    };
    return true;
  }
  if (keptMs >= NO_ROOM_MS || !wasAsked(record, view)) {
    // As long as others find room, so will this one.
    if (view.nowMs - Math.max(record.openedAtMs ?? view.nowMs, view.roomMs ?? 0) < NO_ROOM_MS) return false;
    record.refusal = {
      cause: 'no-room',
      reason: "the system's neighbour table stayed full, so nobody could be asked",
      mend: 'run it with administrator rights, or for fewer devices at a time (--only)',
      unasked: true,
    };
    return true;
  }
  if (!isSilent(record, view, age)) return false;
  if (!hasOldRow(record)) return true;
  if (record.arpingQuestions > 0) return true;
  if (age < OLD_ROW_MS) return false;
  record.refusal = {
    cause: 'local-failure',
    reason: `the system still holds an answer from before this run (${record.row?.mac}) and asks nobody while it does`,
    mend: `wait ${waitFor(view.neighbourKeptMs)} and run it again, or run it with administrator rights`,
  };
  return true;
}

function claimedIsOver(record: AddressRecord, view: MeansNow, age: number): boolean {
  if (record.ownMac !== undefined) return true;
  if (age >= view.patienceMs + LATE_ANSWER_MS) return true;
  const enough = view.canClear ? toAll(record) >= CLAIMED_QUESTIONS : record.sent > 0;
  if (view.captured(record.port)) {
    const heardAt = record.firstHeardMs ?? record.heardQuestionMs;
    // A row from before that only the device itself made fresh: no question to all was put.
    if (heardAt === undefined) return view.opening?.(record.port) !== true && age >= LATE_ANSWER_MS;
    return enough && view.nowMs - heardAt >= LATE_ANSWER_MS;
  }
  if (view.arping !== undefined && familyOf(record.address) === 4) return record.begun.has('arping');
  return enough && view.nowMs - (record.lastSentMs ?? view.nowMs) >= TABLE_SETTLES_MS;
}
