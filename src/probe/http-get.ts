/** One GET without login, cookie or referrer, over a connection of our own; everything the peer sends is cut to size. */
import type { Socket } from 'node:net';
import type { ConnectionOptions } from 'node:tls';
import { bounded, talkLimits } from './bound.js';
import { askHttp, type HttpOutcome, quiet } from './http-question.js';
import type { HttpPlace } from './http-redirect.js';
import { secure, TLS_TRIES } from './http-tls.js';
import { type Dial, dial } from './tcp-dial.js';
import { worthAnotherTry } from './tls-failure.js';
import type { Patience } from './types.js';

/**
 * At most `timeoutMs * attempts` to connect, `timeoutMs` from then to the first octet and twice that to the last one kept. A second
 * connection is made only where the first was closed without an answer, or TLS failed in a way that another try may overcome. `dialler` stands in for the network in tests.
 */
export async function httpGet(
  place: HttpPlace,
  patience: Patience,
  signal: AbortSignal,
  dialler: Dial = dial,
): Promise<HttpOutcome> {
  const dialled = await dialler(place, patience, signal);
  if (dialled.outcome === 'no-reply')
    return { outcome: 'no-reply', cause: 'timeout', detail: 'no answer to the connection' };
  if (dialled.outcome !== 'accepted') return dialled;
  return httpOver(place, dialled.socket, patience, signal, dialler);
}

/** The same over a connection that stands; it is used up. Whoever aborts `signal` says himself what that means: what came is given. */
export async function httpOver(
  place: HttpPlace,
  socket: Socket,
  patience: Patience,
  signal: AbortSignal,
  dialler: Dial = dial,
): Promise<HttpOutcome> {
  const limit = bounded(signal, talkLimits(patience).totalMs);
  try {
    const first = await talk(place, socket, patience, limit.signal, TLS_TRIES[0]);
    const again = first.outcome === 'tls' || first.outcome === 'silent' ? first.again === true : false;
    if (!again || limit.signal.aborted) return first;
    const dialled = await dialler(place, patience, limit.signal);
    if (dialled.outcome !== 'accepted') return first;
    const second = await talk(place, dialled.socket, patience, limit.signal, TLS_TRIES[1]);
    return second.outcome === 'answered' || first.outcome !== 'tls' ? second : first;
  } finally {
    limit.end();
  }
}

/** One connection: TLS where it belongs, one question, its answer. Nothing at all within one patience ends it. */
async function talk(
  place: HttpPlace,
  socket: Socket,
  patience: Patience,
  signal: AbortSignal,
  how: Partial<ConnectionOptions> | undefined,
): Promise<HttpOutcome> {
  const limit = bounded(signal, talkLimits(patience).totalMs);
  const firstWord = setTimeout(() => {
    if (socket.bytesRead === 0) limit.end();
  }, talkLimits(patience).idleMs);
  try {
    return await exchange(place, socket, limit.signal, how);
  } finally {
    clearTimeout(firstWord);
    limit.end();
    socket.destroy();
  }
}

async function exchange(
  place: HttpPlace,
  plain: Socket,
  signal: AbortSignal,
  how: Partial<ConnectionOptions> | undefined,
): Promise<HttpOutcome> {
  if (place.scheme === 'http') return askHttp(place, plain, plain, undefined, signal);
  const secured = await secure(plain, signal, how);
  if (secured.outcome === 'interrupted') {
    return { outcome: 'silent', cause: quiet(plain), detail: 'TLS was not answered', certificate: undefined };
  }
  if (secured.outcome !== 'secured') {
    const { outcome, cause, detail, certificate } = secured;
    const again = worthAnotherTry(secured);
    return { outcome: outcome === 'closed' ? 'silent' : outcome, cause, detail, certificate, again };
  }
  try {
    return await askHttp(place, secured.socket, plain, secured.certificate, signal);
  } finally {
    secured.socket.destroy();
  }
}
