/** What was asked of one address beyond presence on the link, and whether the answer proves that a device is there. */
import type { AddressSighting, Cause, NotRun, ServiceProof, TcpSighting } from '../sighting/types.js';

/**
 * answered: the device itself said something, be it a refusal. silent: asked, and the device said nothing.
 * doubtful: an answer that somebody else could have given as well: behind a router a refusal alone comes from a firewall, too, and a
 * portal page answers for everything (DESIGN 6). blocked: somebody on the way, or this laptop, kept the question from arriving.
 * not-asked: has its reason.
 */
export interface Response {
  readonly what: string;
  readonly state: 'answered' | 'doubtful' | 'silent' | 'blocked' | 'not-asked';
  /** How it answered, or why not. */
  readonly detail: string;
  /** A bare refusal: a RST, or an ICMP error. */
  readonly refusal?: true | undefined;
  readonly port?: number | undefined;
}

/**
 * Somebody on the way, or this laptop, kept the question from arriving: that says nothing about the device. "Host unreachable" does: the
 * last router sends it when ARP got no answer (RFC 1812 §5.2.7.1). An ICMP error whose kind cannot be read counts as kept from arriving.
 */
const KEPT_AWAY: ReadonlySet<Cause> = new Set([
  'filtered',
  'net-unreachable',
  'interface-down',
  'ttl-exceeded',
  'icmp-error',
  'not-permitted',
  'local-network-denied',
  'unknown',
]);

/** `portal`: ports of this address at which a page answers that answers elsewhere, too. */
export function responsesOf(sighting: AddressSighting, portal: ReadonlySet<number> = new Set()): Response[] {
  const responses = [
    icmpResponse(sighting),
    ...sighting.tcp.map(tcpResponse),
    ...sighting.proofs.filter((proof) => !fellWithItsPort(proof, sighting.tcp)).map(proofResponse),
    snmpResponse(sighting),
    iscsiResponse(sighting),
  ];
  return sighting.reach === 'routed' ? responses.map((response) => doubted(response, portal)) : responses;
}

function doubted(response: Response, portal: ReadonlySet<number>): Response {
  const fromElsewhere =
    response.refusal === true || (response.port !== undefined && portal.has(response.port));
  return response.state === 'answered' && fromElsewhere ? { ...response, state: 'doubtful' } : response;
}

export function anyAnswer(responses: readonly Response[]): boolean {
  return responses.some((response) => response.state === 'answered');
}

/** The connection itself failed, which is told already and with more detail. */
function fellWithItsPort({ protocol, port }: ServiceProof, tcp: readonly TcpSighting[]): boolean {
  const connection = protocol === 'tcp' ? tcp.find((one) => one.port === port) : undefined;
  return connection !== undefined && connection.outcome !== 'accepted' && connection.outcome !== 'not-run';
}

/** Something was asked that could have been answered. */
export function anyAsked(responses: readonly Response[]): boolean {
  return responses.some((response) => response.state === 'answered' || response.state === 'silent');
}

/** This machine could not put any question to the address on its link: silence to the others proves nothing. */
export function letNothingOut({ presence }: AddressSighting): boolean {
  return presence.outcome === 'not-run' && presence.unasked === true;
}

function notAsked(what: string, why: NotRun): Response {
  return { what, state: 'not-asked', detail: why.reason };
}

function unreachable(what: string, cause: Cause | undefined, detail: string): Response {
  return { what, state: cause === undefined || KEPT_AWAY.has(cause) ? 'blocked' : 'silent', detail };
}

function icmpResponse({ address, icmp }: AddressSighting): Response {
  const what = 'echo';
  switch (icmp.outcome) {
    case 'replied':
      return { what, state: 'answered', detail: `replied in ${icmp.rttMs} ms` };
    case 'no-reply':
      return { what, state: 'silent', detail: 'no reply' };
    case 'unreachable':
      return icmp.by === address
        ? {
            what,
            state: 'answered',
            detail: `an ICMP error from the device itself (${icmp.detail})`,
            refusal: true,
          }
        : unreachable(what, icmp.cause, icmp.detail);
    case 'not-run':
      return notAsked(what, icmp);
  }
}

function tcpResponse(tcp: TcpSighting): Response {
  const what = tcp.service;
  switch (tcp.outcome) {
    case 'accepted':
      return { what, state: 'answered', detail: tcp.outcome, port: tcp.port };
    case 'refused':
      return { what, state: 'answered', detail: tcp.outcome, refusal: true };
    case 'no-reply':
      return { what, state: 'silent', detail: tcp.detail ?? 'no reply' };
    case 'unreachable':
      return unreachable(what, tcp.cause, tcp.detail ?? 'unreachable');
    case 'not-run':
      return notAsked(what, tcp);
  }
}

function proofResponse(proof: ServiceProof): Response {
  const what = proof.service;
  switch (proof.outcome) {
    case 'refused':
      return { what, state: 'answered', detail: proof.detail ?? proof.outcome, refusal: true };
    case 'proven':
    case 'other-protocol':
      return { what, state: 'answered', detail: proof.detail ?? proof.outcome, port: proof.port };
    case 'silent':
      return { what, state: 'silent', detail: proof.detail ?? 'said nothing' };
    case 'unreachable':
      return unreachable(what, proof.cause, proof.detail ?? 'unreachable');
    case 'not-run':
      return notAsked(what, proof);
  }
}

function snmpResponse({ snmp }: AddressSighting): Response {
  const what = 'snmp';
  switch (snmp.outcome) {
    case 'refused':
      return { what, state: 'answered', detail: snmp.outcome, refusal: true };
    case 'replied':
    case 'rejected':
      return { what, state: 'answered', detail: snmp.outcome };
    case 'no-reply':
      return { what, state: 'silent', detail: snmp.detail ?? 'no reply' };
    case 'unreachable':
      return unreachable(what, snmp.cause, snmp.detail ?? 'unreachable');
    case 'not-run':
      return notAsked(what, snmp);
  }
}

function iscsiResponse({ iscsi }: AddressSighting): Response {
  const what = 'iSCSI discovery';
  switch (iscsi.outcome) {
    case 'not-run':
      return notAsked(what, iscsi);
    case 'no-reply':
      return { what, state: 'silent', detail: iscsi.detail ?? 'no reply' };
    case 'unreachable':
      return unreachable(what, iscsi.cause, iscsi.detail ?? 'unreachable');
    case 'refused':
      return { what, state: 'answered', detail: iscsi.detail ?? 'refused', refusal: true };
    case 'listed':
      return { what, state: 'answered', detail: 'listed its targets' };
    default:
      return { what, state: 'answered', detail: iscsi.detail ?? iscsi.outcome };
  }
}
