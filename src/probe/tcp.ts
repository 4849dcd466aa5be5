/** TCP connect and nothing more: accepts, refuses and silence are three different facts. */
import type { PlannedService } from '../plan/model.js';
import type { TcpSighting } from '../sighting/types.js';
import type { ServiceTarget } from './service-probe.js';
import { closeAtOnce, type Dialled, dial } from './tcp-dial.js';
import type { Probe } from './types.js';

export const probeTcp: Probe<ServiceTarget, TcpSighting> = async (target, patience, signal) => {
  const dialled = await dial({ address: target.address, port: target.service.port }, patience, signal);
  if (dialled.outcome === 'accepted') closeAtOnce(dialled.socket);
  return tcpSighting(target.service, dialled);
};

export function tcpSighting(service: PlannedService, dialled: Dialled): TcpSighting {
  const head = { port: service.port, service: service.name };
  switch (dialled.outcome) {
    case 'accepted':
      return { ...head, outcome: 'accepted', connectMs: dialled.connectMs };
    case 'not-run':
      return {
        ...head,
        outcome: 'not-run',
        cause: dialled.cause,
        reason: dialled.reason,
        ...(dialled.mend === undefined ? {} : { mend: dialled.mend }),
      };
    default:
      return {
        ...head,
        outcome: dialled.outcome,
        cause: dialled.cause,
        ...(dialled.detail === undefined ? {} : { detail: dialled.detail }),
      };
  }
}
