/**
 * How long each kind of question waits. `attempts` is how often it is put where too few are there to tell how much gets lost; how often
 * it is put in fact follows from src/run/silence.ts.
 */
import type { Patience } from '../probe/types.js';

export interface Patiences {
  /** The first echo, on the link and elsewhere, and those that follow where it stayed unanswered. */
  readonly firstEcho: Patience;
  readonly echo: Patience;
  /** Tries overlap: another each `timeoutMs`, and `lastMs` for the last. A slow answer to the first still counts. */
  readonly connect: Patience;
  /** Over a connection that stands: once for the first word, twice for all (src/probe/bound.ts). */
  readonly proof: Patience;
  readonly snmp: Patience;
  readonly snmpTable: Patience;
  readonly iscsi: Patience;
  readonly mtu: Patience;
}

export const DEFAULT_PATIENCES: Patiences = {
  firstEcho: { timeoutMs: 500, attempts: 1 },
  echo: { timeoutMs: 1000, attempts: 10 },
  connect: { timeoutMs: 250, attempts: 10, lastMs: 1000 },
  proof: { timeoutMs: 5000, attempts: 1 },
  snmp: { timeoutMs: 1000, attempts: 8 },
  snmpTable: { timeoutMs: 2000, attempts: 5 },
  iscsi: { timeoutMs: 5000, attempts: 1 },
  mtu: { timeoutMs: 1000, attempts: 6 },
};

/** Echoes of the measurement where some of the first were lost. */
export const LOSS_ECHOES = 20;
