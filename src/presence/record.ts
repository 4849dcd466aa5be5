/** What is known of one address while presence is being settled, and the sighting it comes to. */
import type { Cause, Claim, PresenceMethod, PresenceSighting } from '../sighting/types.js';
import type { TableRow } from '../system/types.js';
import type { Before } from './freshness.js';

export interface AddressRecord {
  readonly address: string;
  /** The port that the questions leave by. */
  readonly port: string;
  /** Set where the address is the laptop's own. */
  readonly ownMac?: string | undefined;
  readonly claims: Map<string, Claim>;
  readonly methods: Set<PresenceMethod>;
  /** The neighbour table's row from before the question, where it could not be cleared. */
  before?: Before | undefined;
  /** The latest row seen. */
  row?: TableRow | undefined;
  openedAtMs?: number | undefined;
  /** Clock at the datagram that is known to have become a question. */
  questionMs?: number | undefined;
  lastSentMs?: number | undefined;
  /** Datagrams handed to the kernel. */
  sent: number;
  /** Questions known to have been put by the kernel or a program. */
  asked: number;
  /** The same when it was over, with those that the kernel repeats by itself. */
  put: number;
  /** Questions that a capture saw go to everybody; the clock at the last one, and its capture time. */
  heardQuestions: number;
  heardQuestionMs?: number | undefined;
  /** The clock at the first one, and how many there were when the first claim came. */
  firstHeardMs?: number | undefined;
  triesToClaim?: number | undefined;
  heardQuestionUs?: number | undefined;
  /** Broadcast questions of arping whose every answer was listed. */
  arpingQuestions: number;
  /** Its row was taken out of the table, and no question was put since. */
  cleared?: boolean | undefined;
  /** It has been asked everything else. */
  finished?: boolean | undefined;
  /** Programs at work for this address. */
  busy: number;
  readonly begun: Set<'arping' | 'confirming'>;
  /** Why nothing could be asked or proven, and what helps. */
  refusal?:
    | {
        readonly cause: Cause;
        readonly reason: string;
        readonly mend?: string | undefined;
        readonly unasked?: true;
      }
    | undefined;
  /** How many times it was asked from the start. */
  turns: number;
  /** Since when questions do not leave: no room, or the port is away. */
  kept?: { readonly why: 'full' | 'away'; readonly sinceMs: number } | undefined;
  /** "No route to host" at once, not yet known why. */
  unreachable?: boolean | undefined;
  done: boolean;
  reported: boolean;
}

export function newRecord(address: string, port: string, ownMac?: string): AddressRecord {
  const record: AddressRecord = {
    address,
    port,
    ownMac,
    claims: new Map(),
    methods: new Set(),
    sent: 0,
    asked: 0,
    put: 0,
    heardQuestions: 0,
    arpingQuestions: 0,
    busy: 0,
    begun: new Set(),
    turns: 1,
    done: false,
    reported: false,
  };
  if (ownMac !== undefined) addClaim(record, { mac: ownMac, method: 'own-address' });
  return record;
}

/** Asked as if for the first time: what came before was not heard. */
export function startOver(record: AddressRecord, nowMs: number): void {
  record.turns += 1;
  record.openedAtMs = nowMs;
  record.sent = 0;
  record.arpingQuestions = 0;
  record.questionMs = undefined;
  record.lastSentMs = undefined;
  record.row = undefined;
  record.kept = undefined;
  record.begun.clear();
}

export type NewClaim = Omit<Claim, 'count' | 'seenFromMs' | 'seenToMs'> & {
  /** When this answer came, in milliseconds since the epoch. */
  readonly seenMs?: number | undefined;
};

/** Devices and ways they are heard, for one address; a flood of invented senders is told by this many as well as by all. */
export const CLAIM_LIMIT = 32;

export function addClaim(record: AddressRecord, { seenMs, ...claim }: NewClaim): void {
  const key = [claim.mac, claim.method, claim.frameSource ?? '', claim.vlan ?? ''].join(' ');
  const known = record.claims.get(key);
  record.methods.add(claim.method);
  if (known === undefined && record.claims.size >= CLAIM_LIMIT) return;
  record.claims.set(
    key,
    known === undefined
      ? { ...claim, ...(seenMs === undefined ? {} : { seenFromMs: seenMs, seenToMs: seenMs }), count: 1 }
      : { ...known, ...(seenMs === undefined ? {} : { seenToMs: seenMs }), count: known.count + 1 },
  );
}

export function macsOf(record: AddressRecord): string[] {
  return [...new Set([...record.claims.values()].map((claim) => claim.mac))];
}

/** How long a second answer is waited for, in milliseconds: devices with slow management processors answer well below this (common practice, no source). */
export const LATE_ANSWER_MS = 900;

export interface Circumstances {
  /** A capture runs on the port of the address. */
  readonly captured: boolean;
  /** What would let a hidden second device be seen on this system. */
  readonly mend: string;
}

export function sightingOf(record: AddressRecord, { captured, mend }: Circumstances): PresenceSighting {
  const methods = [...record.methods];
  const macs = macsOf(record);
  if (macs.length === 0) {
    if (record.refusal !== undefined) return { outcome: 'not-run', ...record.refusal };
    return {
      outcome: 'unclaimed',
      methods,
      asked: Math.max(record.asked, record.put, record.heardQuestions),
    };
  }
  const claims = [...record.claims.values()];
  return { outcome: 'claimed', claims, methods, macs, ...certainty(record, macs, captured, mend) };
}

type Certainty = Pick<
  Extract<PresenceSighting, { outcome: 'claimed' }>,
  'duplicateCheck' | 'duplicateCheckReason'
>;

function certainty(
  record: AddressRecord,
  macs: readonly string[],
  captured: boolean,
  mend: string,
): Certainty {
  const seen = Math.max(record.heardQuestions, record.arpingQuestions);
  if (seen > 0)
    return {
      duplicateCheck: 'proven',
      duplicateCheckReason: `every answer to ${seen === 1 ? 'one question' : `${seen} questions`} to all was seen (${record.arpingQuestions > record.heardQuestions ? 'arping' : 'capture'})`,
    };
  if (macs.length > 1) {
    const heard = [...record.claims.values()].filter((claim) => claim.method === 'capture');
    return heard.length > 1
      ? { duplicateCheck: 'proven', duplicateCheckReason: 'both were heard (capture)' }
      : {
          duplicateCheck: 'in-turn',
          duplicateCheckReason: 'the neighbour table held one MAC and then the other',
        };
  }
  const why =
    record.ownMac !== undefined
      ? 'a system does not ask for its own address'
      : captured
        ? 'the system knew the address already and asked nobody'
        : 'a system keeps the first answer only: a second device that answers within a second of it stays hidden';
  return { duplicateCheck: 'not-excluded', duplicateCheckReason: `${why}. ${mend}` };
}
