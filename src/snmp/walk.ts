/** Columns of a table, read to their end or to a limit, whatever the agent does. */
import { ErrorStatus, ObjectType, type Varbind } from 'net-snmp';
import type { Clock } from '../probe/types.js';
import type { Cause } from '../sighting/types.js';
import type { SnmpFailure } from './failure.js';
import { compareOids, indexOf, isUnder } from './oid.js';
import type { SnmpSession } from './session.js';

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

/** A table with more rows is long, or has no end: its columns are read one after the other, which takes no more requests. */
const LONG = 24;

export type RowReader = (index: readonly number[], varbind: Varbind) => void;

export interface ColumnWalk {
  readonly column: string;
  readonly onRow: RowReader;
  readonly limits: WalkLimits;
}

/** One column by itself: as `walkColumns`. */
export async function walkColumn(
  session: SnmpSession,
  column: string,
  onRow: RowReader,
  limits: WalkLimits = TABLE_LIMITS,
  clock: Pick<Clock, 'now'> = performance,
): Promise<WalkResult> {
  const [result] = await walkColumns(session, [{ column, onRow, limits }], clock);
  return result ?? { rows: 0 };
}

interface Walking extends ColumnWalk {
  last: string;
  rows: number;
  bytes: number;
  result?: WalkResult;
}

/**
 * Calls `onRow` for each instance under each column, of one column in the agent's order. Each identifier must follow the one before
 * (RFC 3416 §4.2.2): an agent that goes back would go round for ever, so that column is cut off there. The columns go together, as many
 * rows of each as fit one answer (RFC 3416 §4.2.3): a device with two ports is read by one request instead of one a column. Where an agent
 * does not do that, or speaks version 1, they go one after the other.
 */
export async function walkColumns(
  session: SnmpSession,
  columns: readonly ColumnWalk[],
  clock: Pick<Clock, 'now'> = performance,
): Promise<readonly WalkResult[]> {
  const all = columns.map((one): Walking => ({ ...one, last: one.column, rows: 0, bytes: 0 }));
  const maxMs = Math.min(...columns.map(({ limits }) => limits.maxMs));
  const deadline = clock.now() + maxMs;
  const late: Cut = { cause: 'bound-reached', text: `stopped after ${Math.round(maxMs / 1000)} s` };
  let together = session.version !== '1';
  let room = REPETITIONS;
  for (;;) {
    if (all.some(({ rows }) => rows > LONG)) together = false;
    const open = all.filter(({ result }) => result === undefined).slice(0, together ? undefined : 1);
    const [first] = open;
    if (first === undefined) return all.map(({ rows, result }) => result ?? { rows });
    await session.ready?.();
    const leftMs = deadline - clock.now();
    const repetitions = Math.max(1, Math.floor(room / open.length));
    const asked = open.map(({ last }) => last);
    const answer = leftMs > 0 ? await within(session.getBulk(asked, repetitions), leftMs) : 'late';
    if (answer === 'late') return all.map(({ rows, result }) => result ?? { rows, cut: late });
    if (answer.ok) {
      if (answer.columns.some((varbinds) => varbinds.length > 0))
        open.forEach((one, at) => {
          take(one, answer.columns[at] ?? []);
        });
      else if (open.length > 1) together = false;
      else first.result = { rows: first.rows, cut: EMPTY };
      continue;
    }
    const { failure } = answer;
    if (isTooBig(failure) && repetitions > 1) room = Math.max(1, room >> 2);
    else if (endsAll(failure))
      return all.map(
        (one) => one.result ?? { rows: one.rows, ...(one === first ? { cut: cutOf(failure), failure } : {}) },
      );
    else if (open.length > 1) {
      together = false;
      room = REPETITIONS;
    } else if (isNoSuchName(failure)) first.result = { rows: first.rows };
    else first.result = { rows: first.rows, cut: cutOf(failure), failure };
  }
}

const EMPTY: Cut = { cause: 'malformed', text: 'the agent sent an empty answer' };

/** Rows of one column, until it ends or a limit is reached, which `result` then says. */
function take(one: Walking, varbinds: readonly Varbind[]): void {
  const { column, limits } = one;
  for (const varbind of varbinds) {
    if (varbind.type === ObjectType.EndOfMibView || !isUnder(column, varbind.oid)) {
      one.result = { rows: one.rows };
      return;
    }
    if (compareOids(varbind.oid, one.last) <= 0) {
      const text = 'the agent returned object identifiers out of order';
      one.result = { rows: one.rows, cut: { cause: 'malformed', text } };
      return;
    }
    one.bytes += varbind.oid.length + sizeOf(varbind);
    const tooMany = one.rows + 1 > limits.maxRows ? `${limits.maxRows} rows` : undefined;
    const tooLong = one.bytes > limits.maxBytes ? `${one.bytes} octets` : undefined;
    const over = tooMany ?? tooLong;
    if (over !== undefined) {
      one.result = { rows: one.rows, cut: tooMuch(over) };
      return;
    }
    one.last = varbind.oid;
    one.rows += 1;
    one.onRow(indexOf(column, varbind.oid), varbind);
  }
}

/** Asking for anything more would only cost the same patience again. */
export function endsAll(failure: SnmpFailure): boolean {
  return failure.kind !== 'error-status' && failure.kind !== 'malformed';
}

/** A request has a patience of its own, which may be longer than what is left; the session's owner ends what still waits. */
export async function within<Result>(work: Promise<Result>, limitMs: number): Promise<Result | 'late'> {
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
