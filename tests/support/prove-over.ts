import type { ServiceProbe, ServiceTarget } from '../../src/probe/service-probe.js';
import type { Probe } from '../../src/probe/types.js';
import type { TcpSighting } from '../../src/sighting/types.js';

/** A proof over a connection, both by script: what is not accepted proves nothing. */
export function proveOver(tcp: Probe<ServiceTarget, TcpSighting>, prove: ServiceProbe): ServiceProbe {
  return async (target, patience, signal) => {
    const answer = await tcp(target, target.connect ?? patience, signal);
    if (answer.outcome === 'accepted') return { tcp: answer, ...(await prove(target, patience, signal)) };
    const { name, protocol, port } = target.service;
    return { tcp: answer, proof: { service: name, protocol, port, outcome: 'silent' } };
  };
}
