import { DEFAULT_PATIENCES, type Patiences } from '../run/patience.js';

/** On a loopback an answer takes milliseconds; what is silent there is so on purpose and need not be waited for as long as on a wire. */
export const DEMO_PATIENCES: Patiences = {
  ...DEFAULT_PATIENCES,
  proof: { timeoutMs: 1500, attempts: 2 },
  snmp: { timeoutMs: 1000, attempts: 3 },
  iscsi: { timeoutMs: 1500, attempts: 2 },
};
