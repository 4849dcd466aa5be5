import { canonicalCidr, familyOf } from '../plan/address.js';
import type { Vantage } from '../sighting/types.js';
import type { System } from '../system/types.js';
import type { AddressRecord } from './record.js';

/** Takes the rows of these addresses out of the table, a command a port or network. False where one could not be. */
export async function forgetRecords(
  records: readonly AddressRecord[],
  vantage: Vantage,
  system: System,
): Promise<boolean> {
  const ports = [...new Set(records.map((record) => record.port))];
  const done = await Promise.all(
    ports.map((port) => {
      const addresses = records.filter((record) => record.port === port).map((record) => record.address);
      const own = vantage.interfaces.find((each) => each.name === port)?.addresses ?? [];
      const families = new Set(addresses.map(familyOf));
      const networks = own.filter((cidr) => families.has(familyOf(cidr)));
      return system.forget({ port, addresses, networks: [...new Set(networks.map(canonicalCidr))] });
    }),
  );
  return done.every(Boolean);
}
