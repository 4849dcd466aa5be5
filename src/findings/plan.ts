import { ADDRESS_RULES } from './plan-addresses.js';
import { DEVICE_RULES } from './plan-devices.js';
import { NETWORK_RULES } from './plan-networks.js';
import { PORT_NAME_RULES } from './plan-port-names.js';

/** What can be known wrong from the plan alone. Redundancy as planned stands in redundancy.ts. */
export const PLAN_RULES = {
  ...ADDRESS_RULES,
  ...PORT_NAME_RULES,
  ...NETWORK_RULES,
  ...DEVICE_RULES,
} as const;
