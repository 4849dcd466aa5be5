/** HTTP and HTTPS: a GET of the root without login, which says that the service speaks and which device this is. */
import type { Socket } from 'node:net';
import type { PlannedService } from '../plan/model.js';
import type { Cause, IdentitySighting, ServiceProof } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { bounded, talkLimits } from './bound.js';
import { certificateIdentity } from './certificate.js';
import { httpGet, httpOver } from './http-get.js';
import { httpIdentity, locationOf } from './http-identity.js';
import type { HttpOutcome, HttpReply } from './http-question.js';
import { followable, type HttpPlace } from './http-redirect.js';
import { overConnection } from './over-connection.js';
import { INTERRUPTED } from './refusal.js';
import { answered, notAsked, type ServiceAnswer, type ServiceProbe } from './service-probe.js';
import type { Patience } from './types.js';

/** The page behind a redirect, and a plain look where TLS is not spoken, share the two patiences of the first answer. */
function proveWith(scheme: 'http' | 'https'): ServiceProbe {
  return (target, patience, signal) => {
    const { address, service } = target;
    return overConnection(target, patience, signal, async (socket) => {
      const limit = bounded(signal, talkLimits(patience).totalMs);
      const place: HttpPlace = { scheme, address, port: service.port, path: '/' };
      try {
        const answer = await prove(place, service, socket, patience, limit.signal);
        return signal.aborted ? { proof: notAsked(service, INTERRUPTED) } : answer;
      } finally {
        limit.end();
      }
    });
  };
}

export const proveHttp = proveWith('http');
export const proveHttps = proveWith('https');

async function prove(
  place: HttpPlace,
  service: PlannedService,
  socket: Socket,
  patience: Patience,
  signal: AbortSignal,
): Promise<ServiceAnswer> {
  const first = await httpOver(place, socket, patience, signal);
  const certificate = readCertificate(first, service.port);
  const identity = certificate === undefined ? undefined : { certificate };
  if (first.outcome !== 'answered') {
    if (place.scheme === 'https' && first.outcome === 'other-protocol' && certificate === undefined) {
      const plain = await httpGet({ ...place, scheme: 'http' }, patience, signal);
      if (plain.outcome === 'answered') return other(service, 'plain HTTP speaks there, not TLS');
    }
    return { proof: unanswered(service, first), identity };
  }
  if (place.scheme === 'http' && saysTlsPort(first))
    return other(service, 'TLS speaks there, not plain HTTP');
  const { last, away } = await follow(place, first, patience, signal);
  const status = `${first.status} ${first.statusText}`.trim();
  const location = locationOf(first);
  const detail = cleanText(location === undefined ? status : `${status} -> ${location}`, 160);
  return {
    proof: answered(service, 'proven', detail, causeOf(first, away)),
    identity: { ...identity, [place.scheme]: httpIdentity(service.port, first, last) },
  };
}

/** The service speaks, and yet there is something to be said of it. */
function causeOf({ status, late }: HttpReply, away: boolean): Cause | undefined {
  if (status >= 500) return 'device-trouble';
  if (late) return 'timeout';
  return away ? 'redirected-away' : undefined;
}

/** Follows one redirect that stays on the port, for the title of the page behind it. `away`: it leads elsewhere, and was left there. */
async function follow(
  from: HttpPlace,
  first: HttpReply,
  patience: Patience,
  signal: AbortSignal,
): Promise<{ readonly last: HttpReply; readonly away: boolean }> {
  const location = locationOf(first);
  const next = location === undefined ? undefined : followable(from, location);
  if (next === undefined) return { last: first, away: location !== undefined };
  if (signal.aborted || first.cut) return { last: first, away: false };
  const outcome = await httpGet(next, patience, signal);
  return { last: outcome.outcome === 'answered' ? outcome : first, away: false };
}

function readCertificate(outcome: HttpOutcome, port: number): IdentitySighting['certificate'] {
  if (!('certificate' in outcome) || outcome.certificate === undefined) return undefined;
  return certificateIdentity(outcome.certificate, port);
}

/** Web servers tell a plain request on their TLS port with status 400 and a sentence (common practice, no source). */
function saysTlsPort(reply: HttpReply): boolean {
  if (reply.status !== 400) return false;
  const text = Buffer.from(reply.body.subarray(0, 2048)).toString('latin1');
  return /http request .{0,40}https|ssl-enabled server port/is.test(text);
}

function other(service: PlannedService, detail: string): ServiceAnswer {
  return { proof: answered(service, 'other-protocol', detail, 'other-protocol') };
}

/** A server that speaks TLS and then will not have us has proven what is planned: it is there, and it is HTTPS as far as one can see. */
function unanswered(
  service: PlannedService,
  outcome: Exclude<HttpOutcome, { outcome: 'answered' }>,
): ServiceProof {
  switch (outcome.outcome) {
    case 'not-run':
      // The time was up between two questions; an interrupted run is told by the caller.
      return outcome.cause === 'interrupted'
        ? answered(service, 'silent', 'connected, no HTTP answer', 'timeout')
        : notAsked(service, outcome);
    case 'no-reply':
      return answered(service, 'silent', outcome.detail, outcome.cause);
    case 'tls':
      return answered(service, 'proven', outcome.detail, outcome.cause);
    default:
      return answered(service, outcome.outcome, outcome.detail, outcome.cause);
  }
}
