/** One column of a table, read to its end or to a limit, whatever the agent does. */
import { ErrorStatus, ObjectType, type Varbind } from 'net-snmp';
import type { Clock } from '../probe/types.js';
import type { Cause } from '../sighting/types.js';
import type { SnmpFailure } from './failure.js';
import { compareOids, indexOf, isUnder } from './oid.js';
import type { SnmpResult, SnmpSession } from './session.js';

export interface WalkLimits {
  readonly maxRows: number;
  readonly maxMs: number;
  /** Octets of values and index together, as a rough measure of memory. */
  readonly maxBytes: number;
}

/** Of one column. No device has as many ports or neighbours; a forwarding table may be longer, and what is cut off is said. */
export const TABLE_LIMITS: WalkLimits = { maxRows: 16_384, maxMs: 10_000, maxBytes: 4 * 1024 * 1024 };

/** Why a table is not whole. `text` is for people, after the name of the table. */
export interface Cut {
  readonly cause: Cause;
  readonly text: string;
}

export interface WalkResult {
  readonly rows: number;
  /** Why the column was not read to its end; absent where it was. */
  readonly cut?: Cut | undefined;
  /** The failure behind it where a request failed. */
  readonly failure?: SnmpFailure | undefined;
}

/** Rows asked for at once: their answer fits one unfragmented datagram for rows of up to some 40 octets. */
const REPETITIONS = 30;

export type RowReader = (index: readonly number[], varbind: Varbind) => void;

/**
 * Calls `onRow` for each instance under `column`, in the agent's order. Each identifier must follow the one before
 * (RFC 3416 §4.2.2): an agent that goes back would go round for ever, so it is cut off there.
 */
export async function walkColumn(
  session: SnmpSession,
  column: string,
  onRow: RowReader,
  limits: WalkLimits = TABLE_LIMITS,
  clock: Pick<Clock, 'now'> = performance,
): Promise<WalkResult> {
  const deadline = clock.now() + limits.maxMs;
  let last = column;
  let rows = 0;
  let bytes = 0;
  let repetitions = REPETITIONS;
  const late: Cut = { cause: 'bound-reached', text: `stopped after ${Math.round(limits.maxMs / 1000)} s` };
  for (;;) {
    await session.ready?.();
    const leftMs = deadline - clock.now();
    const result = leftMs > 0 ? await within(session.getBulk(last, repetitions), leftMs) : 'late';
    if (result === 'late') return { rows, cut: late };
    if (!result.ok) {
      if (isTooBig(result.failure) && repetitions > 1) {
        repetitions = Math.max(1, repetitions >> 2);
        continue;
      }
      if (isNoSuchName(result.failure)) return { rows };
      return { rows, cut: cutOf(result.failure), failure: result.failure };
    }
    if (result.varbinds.length === 0)
      return { rows, cut: { cause: 'malformed', text: 'the agent sent an empty answer' } };
    for (const varbind of result.varbinds) {
      if (varbind.type === ObjectType.EndOfMibView || !isUnder(column, varbind.oid)) return { rows };
      if (compareOids(varbind.oid, last) <= 0) {
        const text = 'the agent returned object identifiers out of order';
        return { rows, cut: { cause: 'malformed', text } };
      }
      last = varbind.oid;
      rows += 1;
      bytes += varbind.oid.length + sizeOf(varbind);
      if (rows > limits.maxRows) return { rows: rows - 1, cut: tooMuch(`${limits.maxRows} rows`) };
      if (bytes > limits.maxBytes) return { rows: rows - 1, cut: tooMuch(`${bytes} octets`) };
      onRow(indexOf(column, varbind.oid), varbind);
    }
  }
}

/** A request has a patience of its own, which may be longer than what is left; the session's owner ends what still waits. */
export async function within(work: Promise<SnmpResult>, limitMs: number): Promise<SnmpResult | 'late'> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<'late'>((resolve) => {
    timer = setTimeout(() => resolve('late'), Math.min(limitMs, 0x7fffffff));
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}

function tooMuch(what: string): Cut {
  return { cause: 'too-much', text: `stopped after ${what}` };
}

function sizeOf(varbind: Varbind): number {
  return Buffer.isBuffer(varbind.value) || typeof varbind.value === 'string' ? varbind.value.length : 8;
}

function isTooBig(failure: SnmpFailure): boolean {
  return failure.kind === 'error-status' && failure.status === ErrorStatus.TooBig;
}

/** SNMPv1 ends a table with noSuchName (RFC 1157 §4.1.3). */
function isNoSuchName(failure: SnmpFailure): boolean {
  return failure.kind === 'error-status' && failure.status === ErrorStatus.NoSuchName;
}

function cutOf(failure: SnmpFailure): Cut {
  const { cause } = failure;
  switch (failure.kind) {
    case 'no-reply':
      return { cause, text: 'the agent stopped answering' };
    case 'interrupted':
      return { cause, text: 'interrupted' };
    case 'socket': {
      const { refusal } = failure;
      return { cause, text: refusal.outcome === 'not-run' ? refusal.reason : refusal.detail };
    }
    default:
      return { cause, text: failure.detail };
  }
}
