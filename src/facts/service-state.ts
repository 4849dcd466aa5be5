/** What became of each planned service at one look. */
import type { Seen } from '../evidence/view.js';
import type { Endpoint, PlannedService } from '../plan/model.js';
import { isSnmpService } from '../plan/services.js';
import type { AddressSighting, Cause, ServiceProof, SnmpSighting, TcpSighting } from '../sighting/types.js';

/**
 * proven: speaks its protocol. open: the port accepts and the protocol was not asked. speechless: the port accepts and nothing is
 * said. other: another protocol speaks. snmp-*: the agent with the plan's credential. unprovable: UDP, where silence says nothing.
 */
export interface ServiceState {
  readonly service: PlannedService;
  readonly state:
    | 'proven'
    | 'open'
    | 'refused'
    | 'silent'
    | 'speechless'
    | 'other'
    | 'snmp-silent'
    | 'snmp-refused'
    | 'snmp-rejected'
    | 'unprovable'
    | 'not-asked'
    /** The port accepts, and the time of its device was up before it could be heard out. */
    | 'cut-short'
    /** Behind a router, where a firewall or a portal page may have answered for it. */
    | 'doubtful';
  readonly detail?: string | undefined;
  /** What helps to have it asked. */
  readonly mend?: string | undefined;
}

export function works({ state }: ServiceState): boolean {
  return state === 'proven' || state === 'open';
}

export function serviceStates(endpoint: Endpoint, { sighting, responses }: Seen): ServiceState[] {
  const doubtful = new Set(
    responses.flatMap(({ state, port }) => (state === 'doubtful' && port !== undefined ? [port] : [])),
  );
  return endpoint.services.map((service) => {
    const one = stateOf(service, sighting);
    return works(one) && service.protocol === 'tcp' && doubtful.has(service.port)
      ? { ...one, state: 'doubtful' }
      : one;
  });
}

/** By the best-placed look; what that could not ask, by the next one that could. */
export function serviceStatesOver(endpoint: Endpoint, looks: readonly Seen[]): ServiceState[] {
  const [best, ...others] = looks.map((look) => serviceStates(endpoint, look));
  return (best ?? []).map((one, index) =>
    OPEN.has(one.state)
      ? (others.flatMap((states) => states[index] ?? []).find(({ state }) => !OPEN.has(state)) ?? one)
      : one,
  );
}

/** What another look may tell. */
const OPEN: ReadonlySet<ServiceState['state']> = new Set<ServiceState['state']>(['not-asked', 'cut-short']);

/** What one sighting says of one service: the one place that decides it. */
export function stateOf(
  service: PlannedService,
  sighting: Pick<AddressSighting, 'tcp' | 'proofs' | 'snmp'>,
): ServiceState {
  const proof = sighting.proofs.find(
    ({ protocol, port, service: name }) =>
      protocol === service.protocol && port === service.port && name === service.name,
  );
  if (service.protocol === 'tcp')
    return tcpState(
      service,
      sighting.tcp.find(({ port }) => port === service.port),
      proof,
    );
  return isSnmpService(service) ? snmpState(service, sighting.snmp, proof) : udpState(service, proof);
}

/** Why a protocol was not spoken over a connection that was taken, where that leaves the service open. */
const NO_PROOF: ReadonlySet<Cause> = new Set<Cause>(['not-supported', 'bound-reached', 'interrupted']);

function tcpState(
  service: PlannedService,
  tcp: TcpSighting | undefined,
  proof: ServiceProof | undefined,
): ServiceState {
  if (tcp?.outcome === 'refused') return { service, state: 'refused', detail: tcp.detail };
  if (tcp?.outcome === 'no-reply' || tcp?.outcome === 'unreachable')
    return { service, state: 'silent', detail: tcp.detail };
  if (tcp?.outcome === 'not-run' && (proof === undefined || proof.outcome === 'not-run'))
    return { service, state: 'not-asked', detail: tcp.reason, mend: tcp.mend };
  switch (proof?.outcome) {
    case 'proven':
      return { service, state: 'proven', detail: proof.detail };
    case 'other-protocol':
      return { service, state: 'other', detail: proof.detail };
    case 'silent':
      return { service, state: 'speechless', detail: proof.detail };
    case 'refused':
      return { service, state: 'refused', detail: proof.detail };
    case 'unreachable':
      return { service, state: 'silent', detail: proof.detail };
    default:
      // A place that cannot speak the protocol, or had no time for it, has not proven the service by a connection.
      if (proof?.outcome === 'not-run' && NO_PROOF.has(proof.cause))
        return {
          service,
          state: proof.cause === 'not-supported' ? 'not-asked' : 'cut-short',
          detail: proof.reason,
          mend: proof.mend,
        };
      return tcp?.outcome === 'accepted'
        ? { service, state: 'open', detail: proof?.reason }
        : { service, state: 'not-asked', detail: proof?.reason ?? 'it was not asked in this run' };
  }
}

function snmpState(
  service: PlannedService,
  snmp: SnmpSighting,
  proof: ServiceProof | undefined,
): ServiceState {
  switch (snmp.outcome) {
    case 'replied':
      return { service, state: 'proven', detail: `SNMP v${snmp.version}` };
    case 'rejected':
      // To anybody who asks as the plan says, it is as silent as a v2c agent with another community.
      return { service, state: 'snmp-rejected', detail: snmp.detail };
    case 'refused':
      return { service, state: 'snmp-refused', detail: snmp.detail };
    case 'no-reply':
    case 'unreachable':
      return proof?.outcome === 'proven'
        ? { service, state: 'proven', detail: proof.detail }
        : { service, state: 'snmp-silent', detail: snmp.detail };
    case 'not-run':
      if (proof?.outcome === 'proven') return { service, state: 'proven', detail: proof.detail };
      if (proof?.outcome === 'refused') return { service, state: 'snmp-refused', detail: proof.detail };
      return { service, state: 'unprovable', detail: snmp.reason };
  }
}

function udpState(service: PlannedService, proof: ServiceProof | undefined): ServiceState {
  switch (proof?.outcome) {
    case 'proven':
      return { service, state: 'proven', detail: proof.detail };
    case 'other-protocol':
      return { service, state: 'other', detail: proof.detail };
    case 'refused':
      return { service, state: 'refused', detail: proof.detail };
    case 'not-run':
      return { service, state: 'unprovable', detail: proof.reason };
    default:
      return { service, state: 'unprovable', detail: 'silence over UDP proves nothing' };
  }
}
