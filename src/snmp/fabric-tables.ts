/** One fabric switch's view of its ports: which port name is logged in where. */
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type { FabricTables } from '../sighting/types.js';
import { TableReader } from './columns.js';
import { joinFabric } from './fabric-join.js';
import { readFcFe } from './fc-fe-mib.js';
import { readFcMgmt } from './fc-mgmt-mib.js';
import { readInterfaces } from './if-mib.js';
import { openSession } from './session.js';

export interface FabricTarget {
  readonly address: string;
  readonly credential: ResolvedSnmp;
  /** Name of the plan's device. */
  readonly switch: string;
}

const EMPTY = { ports: [], logins: [] } as const;

/** `patience` is for one request. Whatever could not be read is told in `truncated`: only without it nobody else is logged in. */
export const readFabricTables: Probe<FabricTarget, FabricTables> = async (target, patience, signal) => {
  const head = { switch: target.switch, askedAt: target.address };
  if (signal.aborted) return { ...head, ...EMPTY, truncated: 'interrupted', cutBecause: 'interrupted' };
  const session = openSession(target.address, target.credential, patience, signal);
  if ('unusable' in session)
    return { ...head, ...EMPTY, truncated: session.unusable, cutBecause: 'secret-missing' };
  try {
    const reader = new TableReader(session);
    const interfaces = await readInterfaces(reader);
    const mgmt = await readFcMgmt(reader);
    const fe = await readFcFe(reader);
    const joined = joinFabric(interfaces, mgmt, fe);
    const cut = reader.truncated;
    if (cut !== undefined) return { ...head, ...joined, truncated: cut };
    if (joined.ports.length === 0 && joined.logins.length === 0)
      return {
        ...head,
        ...joined,
        truncated: 'the agent tells nothing of a fabric',
        cutBecause: 'not-supported',
      };
    // An agent may know its ports and have no table of logins: then nobody can be called absent.
    if (joined.logins.length === 0 && joined.ports.some(({ operStatus }) => operStatus === 'up'))
      return {
        ...head,
        ...joined,
        truncated: 'ports are up, but the agent tells nobody as logged in',
        cutBecause: 'not-supported',
      };
    return { ...head, ...joined };
  } finally {
    session.close();
  }
};
