/** The connection that a service proof is made over. */
import type { Socket } from 'node:net';
import type { PlannedService } from '../plan/model.js';
import { answered, notAsked, type ServiceAnswer, type ServiceTarget } from './service-probe.js';
import { tcpSighting } from './tcp.js';
import { type Dialled, dial } from './tcp-dial.js';
import type { Patience } from './types.js';

/**
 * Connects, and has `speak` prove the service where the port takes the connection; `speak` uses the socket up. What the connection alone
 * says stands beside the proof either way.
 */
export async function overConnection(
  target: ServiceTarget,
  patience: Patience,
  signal: AbortSignal,
  speak: (socket: Socket) => Promise<ServiceAnswer>,
): Promise<ServiceAnswer> {
  const { address, service } = target;
  const dialled = await dial({ address, port: service.port }, target.connect ?? patience, signal);
  if (dialled.outcome !== 'accepted') return notAccepted(service, dialled);
  const tcp = tcpSighting(service, dialled);
  try {
    return { tcp, ...(await speak(dialled.socket)) };
  } finally {
    dialled.socket.destroy();
  }
}

/** Of a service whose port took no connection. */
export function notAccepted(
  service: PlannedService,
  dialled: Exclude<Dialled, { outcome: 'accepted' }>,
): ServiceAnswer {
  const tcp = tcpSighting(service, dialled);
  switch (dialled.outcome) {
    case 'not-run':
      return { tcp, proof: notAsked(service, dialled) };
    case 'no-reply':
      return { tcp, proof: answered(service, 'silent', 'no answer to the connection', 'timeout') };
    default:
      return { tcp, proof: answered(service, dialled.outcome, dialled.detail, dialled.cause) };
  }
}
