import type { Seen } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { hostOf } from '../plan/address.js';

/** The laptop itself has the address, so the device behind it cannot be seen. */
export function ownAddressFinding({ evidence }: Seen, endpoint: string, address: string): Finding {
  const { name: vantage, interfaces } = evidence.vantage;
  return finding(
    'own-address-planned',
    endpoint,
    { address, endpoint, vantage },
    {
      about: [endpoint],
      evidence: interfaces
        .filter(({ addresses }) => addresses.some((one) => hostOf(one) === address))
        .map(({ name, addresses }) => `${vantage}: interface ${name} has ${addresses.join(', ')}`),
    },
  );
}
