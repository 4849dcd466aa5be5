/**
 * How long each kind of question waits. First looks are short, so that all silent addresses cost one patience together; a second
 * look is for a box that is there and silent in parts: ten attempts in all survive a fifth of the packets lost both ways
 * (0.36^10 = 4e-5).
 */
import type { Patience } from '../probe/types.js';

export interface Patiences {
  readonly firstIcmp: Patience;
  readonly firstTcp: Patience;
  readonly secondIcmp: Patience;
  readonly secondTcp: Patience;
  readonly proof: Patience;
  readonly snmp: Patience;
  readonly snmpTable: Patience;
  readonly iscsi: Patience;
  readonly mtu: Patience;
}

export const DEFAULT_PATIENCES: Patiences = {
  firstIcmp: { timeoutMs: 1000, attempts: 3 },
  firstTcp: { timeoutMs: 800, attempts: 2 },
  secondIcmp: { timeoutMs: 1000, attempts: 10 },
  secondTcp: { timeoutMs: 700, attempts: 8 },
  proof: { timeoutMs: 5000, attempts: 3 },
  snmp: { timeoutMs: 1000, attempts: 8 },
  snmpTable: { timeoutMs: 2000, attempts: 5 },
  iscsi: { timeoutMs: 5000, attempts: 2 },
  mtu: { timeoutMs: 1000, attempts: 6 },
};
