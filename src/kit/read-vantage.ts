import { release } from 'node:os';
import type { KeptCapture } from '../presence/capture.js';
import type { Vantage } from '../sighting/types.js';
import type { System } from '../system/types.js';
import { joinPorts } from '../vantage/join-ports.js';
import { findAbilities } from './abilities.js';

/** Where this run looks from. Never rejects: what cannot be read is said in the value. `version`: os.release(). */
export async function readVantage(
  name: string,
  system: System,
  version: string = release(),
  keep?: (capture: KeptCapture) => void,
): Promise<Vantage> {
  const [told, routes] = await Promise.all([system.ports(), system.routes()]);
  const interfaces = joinPorts(system.networkInterfaces(), told);
  const abilities = await findAbilities({ system, interfaces, keep });
  return {
    name,
    platform: `${system.platform} ${version}`,
    interfaces,
    routes: routes.routes,
    ...(routes.unknown === undefined ? {} : { routesUnknown: routes.unknown }),
    abilities,
  };
}
