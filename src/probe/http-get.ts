/** One GET without login, cookie or referrer, over a connection of our own; everything the peer sends is cut to size. */
import { type IncomingMessage, request } from 'node:http';
import type { Socket } from 'node:net';
import { authority, type HttpPlace } from './http-redirect.js';
import { secure } from './http-tls.js';
import { INTERRUPTED, type Refusal, refusalOf } from './refusal.js';
import { type Dial, dial } from './tcp-dial.js';
import type { Patience } from './types.js';

/** Largest body read, in octets; a title stands at the beginning. */
export const BODY_LIMIT = 256 * 1024;
/** Largest header block, in octets. */
const HEADER_LIMIT = 16 * 1024;

export interface HttpReply {
  readonly outcome: 'answered';
  readonly status: number;
  readonly statusText: string;
  readonly headers: IncomingMessage['headers'];
  readonly body: Uint8Array;
  /** The body was longer or slower than we read. */
  readonly cut: boolean;
  readonly certificate: Uint8Array | undefined;
}

export type HttpOutcome =
  | HttpReply
  | Refusal
  | {
      readonly outcome: 'other-protocol' | 'silent';
      readonly detail: string;
      /** The connection stood, and what TLS told is kept even where HTTP told nothing. */
      readonly certificate: Uint8Array | undefined;
    };

/**
 * At most `timeoutMs * attempts` to connect, and as long again from then to the last octet kept.
 * `dialler` stands in for the network in tests.
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
  const stop = new AbortController();
  const onAbort = () => stop.abort();
  const timer = setTimeout(onAbort, patience.timeoutMs * Math.max(1, patience.attempts));
  signal.addEventListener('abort', onAbort, { once: true });
  if (signal.aborted) onAbort();
  try {
    const outcome = await exchange(place, dialled.socket, stop.signal);
    return signal.aborted ? INTERRUPTED : outcome;
  } finally {
    clearTimeout(timer);
    signal.removeEventListener('abort', onAbort);
    dialled.socket.destroy();
  }
}

async function exchange(place: HttpPlace, plain: Socket, signal: AbortSignal): Promise<HttpOutcome> {
  if (place.scheme === 'http') return get(place, plain, undefined, signal);
  const secured = await secure(plain, signal);
  if (secured.outcome !== 'secured') {
    const { outcome, detail } = secured;
    return { outcome: outcome === 'closed' ? 'silent' : outcome, detail, certificate: undefined };
  }
  try {
    return await get(place, secured.socket, secured.certificate, signal);
  } finally {
    secured.socket.destroy();
  }
}

function get(
  place: HttpPlace,
  socket: Socket,
  certificate: Uint8Array | undefined,
  signal: AbortSignal,
): Promise<HttpOutcome> {
  return new Promise((resolve) => {
    const client = request({
      host: place.address,
      port: place.port,
      path: place.path,
      method: 'GET',
      headers: { Host: authority(place), Accept: '*/*', 'User-Agent': 'matchmark', Connection: 'close' },
      createConnection: () => socket,
      maxHeaderSize: HEADER_LIMIT,
    });
    let finished = false;
    const finish = (outcome: HttpOutcome) => {
      if (finished) return;
      finished = true;
      signal.removeEventListener('abort', onAbort);
      client.destroy();
      resolve(outcome);
    };
    const onAbort = () => finish({ outcome: 'silent', detail: 'connected, no HTTP answer', certificate });
    signal.addEventListener('abort', onAbort, { once: true });
    client.on('error', (error) => finish(failure(error, certificate)));
    client.once('response', (response) => {
      signal.removeEventListener('abort', onAbort);
      readBody(response, signal, ({ body, cut }) =>
        finish({
          outcome: 'answered',
          status: response.statusCode ?? 0,
          statusText: response.statusMessage ?? '',
          headers: response.headers,
          body,
          cut,
          certificate,
        }),
      );
    });
    client.end();
    if (signal.aborted) onAbort();
  });
}

/** What came before the cut, the end, the reset or the deadline: the status line alone is proof already. */
function readBody(
  response: IncomingMessage,
  signal: AbortSignal,
  done: (read: { body: Uint8Array; cut: boolean }) => void,
): void {
  const chunks: Buffer[] = [];
  let length = 0;
  const finish = (cut: boolean) => {
    signal.removeEventListener('abort', onAbort);
    response.removeAllListeners('data');
    done({ body: Buffer.concat(chunks).subarray(0, BODY_LIMIT), cut });
  };
  const onAbort = () => finish(true);
  signal.addEventListener('abort', onAbort, { once: true });
  response.on('data', (chunk: Buffer) => {
    chunks.push(chunk);
    length += chunk.length;
    if (length >= BODY_LIMIT) finish(true);
  });
  response.once('end', () => finish(false));
  response.once('error', () => finish(true));
  response.once('close', () => finish(!response.complete));
}

/** First octets of a TLS record: alert or handshake, version 3.x (RFC 8446 §5.1). */
function looksLikeTls(raw: unknown): boolean {
  return raw instanceof Uint8Array && (raw[0] === 0x15 || raw[0] === 0x16) && raw[1] === 0x03;
}

function failure(error: unknown, certificate: Uint8Array | undefined): HttpOutcome {
  const code = typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : '';
  if (code.startsWith('HPE_')) {
    if (code === 'HPE_HEADER_OVERFLOW') {
      return {
        outcome: 'other-protocol',
        detail: `header block above ${HEADER_LIMIT} octets`,
        certificate,
      };
    }
    const raw =
      typeof error === 'object' && error !== null && 'rawPacket' in error ? error.rawPacket : undefined;
    const detail = looksLikeTls(raw)
      ? 'TLS speaks there, not plain HTTP'
      : 'something else than HTTP speaks there';
    return { outcome: 'other-protocol', detail, certificate };
  }
  if (code === 'ECONNRESET' || code === 'EPIPE') {
    return { outcome: 'silent', detail: 'connected, then closed without an HTTP answer', certificate };
  }
  if (/^ERR_SSL_.*CERTIFICATE_REQUIRED/.test(code)) {
    return { outcome: 'silent', detail: 'TLS wants a client certificate', certificate };
  }
  const refusal = refusalOf(error);
  return refusal.outcome === 'not-run' || refusal.outcome === 'unreachable'
    ? { outcome: 'silent', detail: 'connected, no HTTP answer', certificate }
    : refusal;
}
