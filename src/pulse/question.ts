/** The real question of a pulse: a connection, or a datagram where no TCP service is planned. */
import { openDatagrams } from '../presence/datagrams.js';
import { probeTcp } from '../probe/tcp.js';
import { thisSystem } from '../system/this-system.js';
import { zoned } from '../system/zone.js';
import type { Pulse } from './pulse.js';

/** Four tries that overlap: with a twentieth lost each way, all four go astray once in ten thousand. EarlierAnswers in 0.7 s. */
const PATIENCE = { timeoutMs: 150, attempts: 4, lastMs: 250 };
export const EVERY_MS = 800;

/** `everyMs`: seldom asked where several ask the same devices. */
export function realPulse(everyMs = EVERY_MS): Pulse {
  const datagrams = openDatagrams();
  return {
    everyMs,
    ask: async ({ address: planned, interface: port, service }, signal) => {
      const address = zoned(thisSystem(), planned, port);
      if (service === undefined) return (await datagrams.provoke(address, EVERY_MS, signal)) === 'alive';
      const { outcome } = await probeTcp({ address, service }, PATIENCE, signal);
      return outcome === 'accepted' || outcome === 'refused';
    },
  };
}
