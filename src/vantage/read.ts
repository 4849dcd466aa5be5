import type { NetworkInterfaceInfo } from 'node:os';
import { findAbilities } from '../kit/abilities.js';
import type { Programs } from '../probe/types.js';
import type { Vantage } from '../sighting/types.js';
import { readInterfaces } from './read-interfaces.js';
import { readRoutes } from './read-routes.js';

export interface VantageDeps {
  readonly programs: Programs;
  /** os.networkInterfaces */
  readonly networkInterfaces: () => NodeJS.Dict<NetworkInterfaceInfo[]>;
  /** process.platform */
  readonly platform: string;
  /** os.release() */
  readonly release: string;
  /** process.geteuid, absent on Windows. */
  readonly effectiveUser?: (() => number) | undefined;
  /** Reads a small text file; undefined where it is not there. Used for /proc alone. */
  readonly readText: (path: string) => Promise<string | undefined>;
}

/** Where this run looks from. Never rejects: what cannot be read is said in the value. */
export async function readVantage(name: string, deps: VantageDeps): Promise<Vantage> {
  const [interfaces, routes] = await Promise.all([readInterfaces(deps), readRoutes(deps)]);
  const abilities = await findAbilities({ ...deps, interfaces });
  return {
    name,
    platform: `${deps.platform} ${deps.release}`,
    interfaces,
    routes: routes.routes,
    ...(routes.unknown === undefined ? {} : { routesUnknown: routes.unknown }),
    abilities,
  };
}
