/** Sightings of addresses that were not, or not fully, asked: every outcome is `not-run` with its reason. Pure. */
import type { AddressSighting, NotRun, PresenceSighting, Reach, TcpSighting } from '../sighting/types.js';
import type { Question } from './questions.js';

export interface Standpoint {
  readonly reach: Reach;
  readonly interface?: string | undefined;
  readonly reachReason?: string | undefined;
  /** Why there is no way from here, where it is not that no route leads there. */
  readonly reachCause?: 'port-unknown' | undefined;
  readonly mend?: { readonly add: string; readonly remove: string } | undefined;
  readonly own: boolean;
}

export function blankSighting(
  question: Question,
  standpoint: Standpoint,
  presence: PresenceSighting,
  why: Pick<NotRun, 'cause' | 'reason'>,
): AddressSighting {
  const notRun: NotRun = { outcome: 'not-run', ...why };
  return {
    address: question.address,
    reach: standpoint.reach,
    ...(standpoint.interface === undefined ? {} : { interface: standpoint.interface }),
    ...(standpoint.reachReason === undefined ? {} : { reachReason: standpoint.reachReason }),
    ...(standpoint.mend === undefined ? {} : { mend: standpoint.mend }),
    own: standpoint.own,
    presence,
    icmp: notRun,
    tcp: question.services
      .filter((service) => service.protocol === 'tcp')
      .map((service): TcpSighting => ({ port: service.port, service: service.name, ...notRun })),
    proofs: question.services.map(({ name, protocol, port }) => ({
      service: name,
      protocol,
      port,
      ...notRun,
    })),
    snmp: notRun,
    identity: {},
    mtu: notRun,
    iscsi: notRun,
  };
}
