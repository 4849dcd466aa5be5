/** Bare ports in great number: the first try of each goes to one program (connect-sender.ts), what it cannot settle is asked as usual. */
import { familyOf } from '../plan/address.js';
import { isBarePort } from '../plan/services.js';
import type { BatchedConnection } from './batch.js';
import { notAccepted } from './over-connection.js';
import { refusalOf } from './refusal.js';
import type { ServiceProbe } from './service-probe.js';
import { provenByConnection } from './services.js';
import type { Patience } from './types.js';

/** What it takes less than a connection that is acknowledged. */
const SPARED_FRAMES = 1;

/** Asks the program, and hands on what it told; `unknown` where it was not asked. */
export type FirstConnections = <Outcome>(
  line: string,
  waitMs: number,
  take: (told: BatchedConnection) => Promise<Outcome>,
  signal: AbortSignal,
) => Promise<Outcome>;

export function quickConnect(first: FirstConnections, usual: ServiceProbe): ServiceProbe {
  return (target, patience, signal) => {
    const { address, service, connect } = target;
    if (connect === undefined || !isBarePort(service) || familyOf(address) !== 4)
      return usual(target, patience, signal);
    const take = async (told: BatchedConnection): ReturnType<ServiceProbe> => {
      if (told === 'unknown') return usual(target, patience, signal);
      if (told === 'silent') return usual({ ...target, connect: afterOne(connect) }, patience, signal);
      connect.answered?.(1);
      if (told === 'refused') return notAccepted(service, refusalOf({ code: 'ECONNREFUSED' }));
      connect.spared?.(SPARED_FRAMES);
      const { name, port } = service;
      return {
        tcp: { port, service: name, outcome: 'accepted', connectMs: told.rttMs },
        proof: provenByConnection(service),
      };
    };
    return first(`${address} ${service.port}`, connect.timeoutMs, take, signal);
  };
}

/** The first try has had its time. */
function afterOne(connect: Patience): Patience {
  const { attempts, more, answered } = connect;
  return {
    ...connect,
    attempts: Math.max(1, attempts - 1),
    more: more && ((tries) => more(tries + 1)),
    answered: answered && ((tries) => answered(tries + 1)),
  };
}
