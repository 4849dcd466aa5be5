/** HTTP and HTTPS: a GET of the root without login, which says that the service speaks and which box this is. */
import type { PlannedService } from '../plan/model.js';
import type { HttpIdentity, IdentitySighting, ServiceProof } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { certificateIdentity } from './certificate.js';
import { type HttpOutcome, type HttpReply, httpGet } from './http-get.js';
import { followable, type HttpPlace } from './http-redirect.js';
import { titleOf } from './http-title.js';
import { answered, notAsked, type ServiceProbe } from './service-probe.js';
import type { Patience } from './types.js';

const REDIRECT_LIMIT = 3;

export const proveHttp: ServiceProbe = (target, patience, signal) =>
  prove('http', target.address, target.service, patience, signal);

export const proveHttps: ServiceProbe = (target, patience, signal) =>
  prove('https', target.address, target.service, patience, signal);

async function prove(
  scheme: 'http' | 'https',
  address: string,
  service: PlannedService,
  patience: Patience,
  signal: AbortSignal,
): ReturnType<ServiceProbe> {
  const place: HttpPlace = { scheme, address, port: service.port, path: '/' };
  const first = await httpGet(place, patience, signal);
  const certificate = readCertificate(first, service.port);
  if (first.outcome !== 'answered') {
    const plainly = scheme === 'https' && first.outcome === 'other-protocol' && certificate === undefined;
    const plain = plainly ? await httpGet({ ...place, scheme: 'http' }, patience, signal) : undefined;
    if (plain?.outcome === 'answered') {
      return { proof: answered(service, 'other-protocol', 'plain HTTP speaks there, not TLS') };
    }
    return {
      proof: unanswered(service, first),
      ...(certificate === undefined ? {} : { identity: { certificate } }),
    };
  }
  if (scheme === 'http' && saysTlsPort(first)) {
    return { proof: answered(service, 'other-protocol', 'TLS speaks there, not plain HTTP') };
  }
  const trail = await follow(place, first, patience, signal);
  const identity: IdentitySighting = {
    [scheme]: httpIdentity(service.port, first, trail.reply),
    ...((certificate ?? trail.certificate) ? { certificate: certificate ?? trail.certificate } : {}),
  };
  const status = `${first.status} ${first.statusText}`.trim();
  const location = locationOf(first);
  const detail = cleanText(location === undefined ? status : `${status} -> ${location}`, 160);
  return { proof: answered(service, 'proven', detail), identity };
}

/** Follows up to three redirects that stay on the address, for the title of the page behind them. */
async function follow(
  from: HttpPlace,
  first: HttpReply,
  patience: Patience,
  signal: AbortSignal,
): Promise<{ reply: HttpReply; certificate?: IdentitySighting['certificate'] }> {
  let place = from;
  let reply = first;
  let certificate: IdentitySighting['certificate'];
  for (let hop = 0; hop < REDIRECT_LIMIT; hop += 1) {
    const location = locationOf(reply);
    const next = location === undefined ? undefined : followable(place, location);
    if (next === undefined || signal.aborted) break;
    const outcome = await httpGet(next, patience, signal);
    certificate ??= readCertificate(outcome, next.port);
    if (outcome.outcome !== 'answered') break;
    place = next;
    reply = outcome;
  }
  return { reply, certificate };
}

function locationOf(reply: HttpReply): string | undefined {
  return reply.status >= 300 && reply.status < 400 ? reply.headers.location : undefined;
}

/** Status and Server are those of the port that was asked; the title may be of the page it led to. */
function httpIdentity(port: number, first: HttpReply, last: HttpReply): HttpIdentity {
  const title = titleOf(last.body, last.headers['content-type']);
  const server = oneLine(first.headers.server ?? last.headers.server);
  const location = locationOf(first);
  return {
    port,
    status: first.status,
    ...(title === undefined ? {} : { title }),
    ...(server === undefined ? {} : { server: cleanText(server) }),
    ...(location === undefined ? {} : { location: cleanText(location) }),
  };
}

/** A header that came twice is one text. */
function oneLine(value: string | string[] | undefined): string | undefined {
  return typeof value === 'string' ? value : value?.join(', ');
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

function unanswered(
  service: PlannedService,
  outcome: Exclude<HttpOutcome, { outcome: 'answered' }>,
): ServiceProof {
  if (outcome.outcome === 'not-run') return notAsked(service, outcome);
  const proof = outcome.outcome === 'no-reply' ? 'silent' : outcome.outcome;
  return answered(service, proof, outcome.detail);
}
