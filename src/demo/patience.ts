import { DEFAULT_PATIENCES, type Patiences } from '../run/patience.js';

/**
 * On a loopback an answer takes milliseconds; what is silent there is so on purpose (an iSCSI port) and need not be waited for as long as on
 * a wire. The rest answers: it is given its whole time, for a laptop that a virus scanner keeps busy answers late.
 */
export const DEMO_PATIENCES: Patiences = {
  ...DEFAULT_PATIENCES,
  snmp: { timeoutMs: 1000, attempts: 3 },
  iscsi: { timeoutMs: 2500, attempts: 2 },
};
