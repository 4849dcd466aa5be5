/** How long is waited on this system: what it does with time by itself, added to what the network takes. Pure. */
import type { Timings } from '../system/types.js';
import { DEFAULT_PATIENCES, type Patiences } from './patience.js';

/** A round trip and the start of a slow device, on top of what the system itself takes, in milliseconds. */
const ROUND_TRIP_MS = 400;
/** Where a closed UDP port is never told, an agent that has not answered so often is silent. */
const UNTOLD_ATTEMPTS = 4;

/**
 * Windows repeats a refused connection for two seconds before it tells: a device behind a router that only refuses would else be silent.
 * It never tells of a closed UDP port: that would else cost the patience for an agent that drops questions.
 */
export function patiencesOn(
  { refusalMs, hearsPortUnreachable }: Timings,
  patiences: Patiences = DEFAULT_PATIENCES,
): Patiences {
  const { connect, snmp } = patiences;
  return {
    ...patiences,
    ...(refusalMs === 0
      ? {}
      : {
          connect: {
            ...connect,
            lastMs: Math.max(connect.lastMs ?? connect.timeoutMs, refusalMs + ROUND_TRIP_MS),
          },
        }),
    ...(hearsPortUnreachable
      ? {}
      : { snmp: { ...snmp, attempts: Math.min(snmp.attempts, UNTOLD_ATTEMPTS) } }),
  };
}
