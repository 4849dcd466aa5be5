/** The real question of a pulse: a connection, or a datagram where no TCP service is planned. */
import { openDatagrams } from '../presence/datagrams.js';
import { probeTcp } from '../probe/tcp.js';
import type { Pulse } from './pulse.js';

/** Four tries that overlap: with a twentieth lost each way, all four go astray once in ten thousand. Settled in less than a second. */
const PATIENCE = { timeoutMs: 200, attempts: 4, lastMs: 300 };
const EVERY_MS = 900;

export function realPulse(): Pulse {
  const datagrams = openDatagrams();
  return {
    everyMs: EVERY_MS,
    ask: async ({ address, service }, signal) => {
      if (service === undefined) return (await datagrams.knock(address, EVERY_MS, signal)) === 'alive';
      const { outcome } = await probeTcp({ address, service }, PATIENCE, signal);
      return outcome === 'accepted' || outcome === 'refused';
    },
  };
}
