/** One fabric switch's view of its ports: which port name is logged in where. */
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type { FabricTables } from '../sighting/types.js';
import { readingTables } from './columns.js';
import { joinFabric } from './fabric-join.js';
import { readFcFe } from './fc-fe-mib.js';
import { readFcMgmt } from './fc-mgmt-mib.js';
import { readInterfaces } from './if-mib.js';

export interface FabricTarget {
  readonly address: string;
  readonly credential: ResolvedSnmp;
  /** Name of the plan's device. */
  readonly switch: string;
}

const NONE: Pick<FabricTables, 'ports' | 'logins'> = { ports: [], logins: [] };

/** `patience` is for one request. Whatever could not be read is told in `truncated`: only without it nobody else is logged in. */
export const readFabricTables: Probe<FabricTarget, FabricTables> = async (target, patience, signal) => {
  const read = await readingTables(target, patience, signal, NONE, async (reader) => {
    const interfaces = await readInterfaces(reader);
    const mgmt = await readFcMgmt(reader);
    const fe = await readFcFe(reader);
    const joined = joinFabric(interfaces, mgmt, fe);
    if (joined.ports.length === 0 && joined.logins.length === 0)
      reader.note('the agent tells nothing of a fabric', 'not-supported');
    // An agent may know its ports and have no table of logins: then nobody can be called absent.
    else if (joined.logins.length === 0 && joined.ports.some(({ operStatus }) => operStatus === 'up'))
      reader.note('ports are up, but the agent tells nobody as logged in', 'not-supported');
    return joined;
  });
  return { switch: target.switch, askedAt: target.address, ...read };
};
