/** Several columns of one table, read one after the other, and what was cut off on the way. */
import type { Varbind } from 'net-snmp';
import type { Clock } from '../probe/types.js';
import type { SnmpFailure } from './failure.js';
import type { SnmpSession } from './session.js';
import { TABLE_LIMITS, type WalkLimits, walkColumn } from './walk.js';

/** Longest reading of one device, all tables together, in milliseconds. */
export const DEVICE_BUDGET_MS = 120_000;

export type ColumnReader = (index: readonly number[], varbind: Varbind) => void;

/** Reads columns until the agent is gone; keeps why anything is missing, once for each table. */
export class TableReader {
  readonly #session: SnmpSession;
  readonly #limits: WalkLimits;
  readonly #clock: Pick<Clock, 'now'>;
  readonly #deadlineMs: number;
  readonly #cuts = new Set<string>();
  #gone = false;

  constructor(
    session: SnmpSession,
    limits: WalkLimits = TABLE_LIMITS,
    clock: Pick<Clock, 'now'> = performance,
    budgetMs: number = DEVICE_BUDGET_MS,
  ) {
    this.#session = session;
    this.#limits = limits;
    this.#clock = clock;
    this.#deadlineMs = clock.now() + budgetMs;
  }

  /** Rows read; 0 where the agent has no such column or has stopped answering before. `table` names it for the reader. */
  async column(table: string, oid: string, read: ColumnReader): Promise<number> {
    if (this.#gone) return 0;
    const leftMs = this.#deadlineMs - this.#clock.now();
    if (leftMs <= 0) {
      this.#cuts.add('the device took too long; further tables were not asked for');
      this.#gone = true;
      return 0;
    }
    const limits = { ...this.#limits, maxMs: Math.min(this.#limits.maxMs, leftMs) };
    const result = await walkColumn(this.#session, oid, read, limits, this.#clock);
    if (result.truncated !== undefined) this.#cuts.add(`${table}: ${result.truncated}`);
    if (result.failure !== undefined && endsAll(result.failure)) this.#gone = true;
    return result.rows;
  }

  /** Single objects, by identifier; absent ones are left out. */
  async scalars(oids: readonly string[]): Promise<ReadonlyMap<string, Varbind>> {
    const found = new Map<string, Varbind>();
    if (this.#gone) return found;
    const whole = await this.#session.get(oids);
    if (whole.ok) return new Map(whole.varbinds.map((varbind) => [varbind.oid, varbind]));
    if (endsAll(whole.failure)) {
      this.#gone = true;
      this.#cuts.add(`scalars: ${whole.failure.kind}`);
      return found;
    }
    for (const oid of oids) {
      const one = await this.#session.get([oid]);
      for (const varbind of one.ok ? one.varbinds : []) found.set(varbind.oid, varbind);
    }
    return found;
  }

  note(cut: string): void {
    this.#cuts.add(cut);
  }

  /** All that was cut off, in words; undefined where nothing was. */
  get truncated(): string | undefined {
    return this.#cuts.size === 0 ? undefined : [...this.#cuts].join('; ');
  }
}

/** Asking for the next table would only cost the same patience again. */
function endsAll(failure: SnmpFailure): boolean {
  return failure.kind !== 'error-status' && failure.kind !== 'malformed';
}
