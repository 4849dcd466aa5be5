/** Columns of one device, those of a table together, and what was cut off on the way. */
import type { Varbind } from 'net-snmp';
import type { Clock, Patience, ResolvedSnmp } from '../probe/types.js';
import type { Cause } from '../sighting/types.js';
import { openSession, type SnmpSession } from './session.js';
import { type Cut, endsAll, TABLE_LIMITS, type WalkLimits, walkColumns, within } from './walk.js';

/** Longest reading of one device, all tables together, in milliseconds: whatever it does, it costs no more. */
const DEVICE_BUDGET_MS = 10_000;

export type ColumnReader = (index: readonly number[], varbind: Varbind) => void;

export interface Column {
  /** Names the table for the reader. */
  readonly table: string;
  readonly oid: string;
  readonly read: ColumnReader;
  /** A ceiling of this column's own. */
  readonly maxRows?: number | undefined;
}

/** What a table that is not whole says of it (src/sighting/tables.ts). */
export interface CutShort {
  readonly truncated?: string;
  readonly cutBecause?: Cause;
}

/** Reads columns until the agent is gone or the time is up; keeps why anything is missing, once for each table. */
export class TableReader {
  readonly #session: SnmpSession;
  readonly #limits: WalkLimits;
  readonly #clock: Pick<Clock, 'now'>;
  readonly #deadlineMs: number;
  readonly #cuts = new Map<string, Cause>();
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

  /** Rows read; 0 where the agent has no such column or has stopped answering before. */
  async column(table: string, oid: string, read: ColumnReader, maxRows?: number): Promise<number> {
    return (await this.columns([{ table, oid, read, maxRows }]))[0] ?? 0;
  }

  /** The same of several columns, asked for together. They are given to their readers one after the other, as they stand here. */
  async columns(wanted: readonly Column[]): Promise<readonly number[]> {
    const leftMs = this.#leftMs();
    if (this.#gone || leftMs <= 0) return wanted.map(() => 0);
    const replays: (() => void)[] = [];
    const walks = wanted.map(({ oid, read, maxRows }) => {
      const limits = {
        ...this.#limits,
        maxRows: Math.min(this.#limits.maxRows, maxRows ?? this.#limits.maxRows),
        maxMs: Math.min(this.#limits.maxMs, leftMs),
      };
      if (wanted.length === 1) return { column: oid, onRow: read, limits };
      const rows: Parameters<ColumnReader>[] = [];
      replays.push(() => {
        for (const row of rows) read(...row);
      });
      return { column: oid, onRow: (...row: Parameters<ColumnReader>) => void rows.push(row), limits };
    });
    const results = await walkColumns(this.#session, walks, this.#clock);
    for (const replay of replays) replay();
    results.forEach(({ cut, failure }, at) => {
      if (cut !== undefined && !this.#isLate(cut)) this.note(`${wanted[at]?.table}: ${cut.text}`, cut.cause);
      if (failure !== undefined && endsAll(failure)) this.#gone = true;
    });
    return results.map(({ rows }) => rows);
  }

  /** Single objects, by identifier; absent ones are left out. */
  async scalars(oids: readonly string[]): Promise<ReadonlyMap<string, Varbind>> {
    const found = new Map<string, Varbind>();
    for (const asked of [oids, ...oids.map((oid) => [oid])]) {
      if (this.#gone || this.#leftMs() <= 0) return found;
      await this.#session.ready?.();
      const leftMs = this.#leftMs();
      if (leftMs <= 0) return found;
      const result = await within(this.#session.get(asked), leftMs);
      if (result === 'late') continue;
      for (const varbind of result.ok ? result.varbinds : []) found.set(varbind.oid, varbind);
      // Version 1 fails the whole question for one absent object (RFC 1157 §4.1.2), so each is asked alone then.
      if (result.ok && asked === oids) return found;
      if (!result.ok && endsAll(result.failure)) {
        this.#gone = true;
        this.note('scalars: the agent stopped answering', result.failure.cause);
      }
    }
    return found;
  }

  note(text: string, cause: Cause): void {
    if (!this.#cuts.has(text)) this.#cuts.set(text, cause);
  }

  /** All that was cut off, in words; undefined where nothing was. */
  get truncated(): string | undefined {
    return this.#cuts.size === 0 ? undefined : [...this.#cuts.keys()].join('; ');
  }

  /** To be spread into the tables: nothing where they are whole. The first thing that went wrong is the cause. */
  get cut(): CutShort {
    const [cutBecause] = this.#cuts.values();
    const { truncated } = this;
    return truncated === undefined || cutBecause === undefined ? {} : { truncated, cutBecause };
  }

  #leftMs(): number {
    const leftMs = this.#deadlineMs - this.#clock.now();
    if (leftMs <= 0 && !this.#gone)
      this.note('the device took too long; further tables were not asked for', 'bound-reached');
    return leftMs;
  }

  /** The time of the whole device is up, which is said once and not for each table. */
  #isLate({ cause }: Cut): boolean {
    return cause === 'bound-reached' && this.#leftMs() <= 0;
  }
}

export interface AgentTarget {
  readonly address: string;
  readonly credential: ResolvedSnmp;
}

/**
 * Opens a session, has its tables read, and closes it. `patience` is for one request; all of them together take no longer than
 * `budgetMs`, and no longer than the patience has for talking. What could not be read is told beside what could; `empty` is what there is where nothing could be asked.
 */
export async function readingTables<Tables extends object>(
  { address, credential }: AgentTarget,
  patience: Patience,
  signal: AbortSignal,
  empty: Tables,
  read: (reader: TableReader) => Promise<Tables>,
  budgetMs: number = DEVICE_BUDGET_MS,
): Promise<Tables & CutShort> {
  if (signal.aborted) return { ...empty, truncated: 'interrupted', cutBecause: 'interrupted' };
  // What the pace takes is none of the device's time.
  let waitedMs = 0;
  const { mayAsk } = patience;
  const paced = mayAsk && {
    mayAsk: async () => {
      const fromMs = performance.now();
      await mayAsk();
      waitedMs += performance.now() - fromMs;
    },
  };
  const clock = { now: () => performance.now() - waitedMs };
  const session = openSession(address, credential, { ...patience, ...paced }, signal);
  if ('unusable' in session) return { ...empty, truncated: session.unusable, cutBecause: 'secret-missing' };
  try {
    const reader = new TableReader(
      session,
      TABLE_LIMITS,
      clock,
      Math.min(budgetMs, patience.talkMs ?? budgetMs),
    );
    const tables = await read(reader);
    return { ...tables, ...reader.cut };
  } finally {
    session.close();
  }
}
