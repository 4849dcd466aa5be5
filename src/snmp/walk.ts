/** One column of a table, read to its end or to a limit, whatever the agent does. */
import { ErrorStatus, ObjectType, type Varbind } from 'net-snmp';
import type { Clock } from '../probe/types.js';
import type { SnmpFailure } from './failure.js';
import { compareOids, indexOf, isUnder } from './oid.js';
import type { SnmpSession } from './session.js';

export interface WalkLimits {
  readonly maxRows: number;
  readonly maxMs: number;
  /** Octets of values and index together, as a rough measure of memory. */
  readonly maxBytes: number;
}

export const TABLE_LIMITS: WalkLimits = { maxRows: 65_536, maxMs: 60_000, maxBytes: 16 * 1024 * 1024 };

export interface WalkResult {
  readonly rows: number;
  /** Why the column was not read to its end; absent where it was. */
  readonly truncated?: string | undefined;
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
  for (;;) {
    if (clock.now() > deadline)
      return { rows, truncated: `stopped after ${Math.round(limits.maxMs / 1000)} s` };
    const result = await session.getBulk(last, repetitions);
    if (!result.ok) {
      if (isTooBig(result.failure) && repetitions > 1) {
        repetitions = Math.max(1, repetitions >> 2);
        continue;
      }
      if (isNoSuchName(result.failure)) return { rows };
      return { rows, truncated: why(result.failure), failure: result.failure };
    }
    if (result.varbinds.length === 0) return { rows, truncated: 'the agent sent an empty answer' };
    for (const varbind of result.varbinds) {
      if (varbind.type === ObjectType.EndOfMibView || !isUnder(column, varbind.oid)) return { rows };
      if (compareOids(varbind.oid, last) <= 0) {
        return { rows, truncated: 'the agent returned object identifiers out of order' };
      }
      last = varbind.oid;
      rows += 1;
      bytes += varbind.oid.length + sizeOf(varbind);
      if (rows > limits.maxRows) return { rows: rows - 1, truncated: `stopped after ${limits.maxRows} rows` };
      if (bytes > limits.maxBytes) return { rows: rows - 1, truncated: `stopped after ${bytes} octets` };
      onRow(indexOf(column, varbind.oid), varbind);
    }
  }
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

function why(failure: SnmpFailure): string {
  switch (failure.kind) {
    case 'no-reply':
      return 'the agent stopped answering';
    case 'interrupted':
      return 'interrupted';
    case 'socket':
      return failure.refusal.outcome === 'not-run' ? failure.refusal.reason : failure.refusal.detail;
    default:
      return failure.detail;
  }
}
