/** One HTTP question over a connection that stands, and what came of it. */
import { type IncomingMessage, request } from 'node:http';
import type { Socket } from 'node:net';
import type { Cause } from '../sighting/types.js';
import { authority, type HttpPlace } from './http-redirect.js';
import { closeCause, type Refusal, refusalOf } from './refusal.js';
import { tlsFailureOf } from './tls-failure.js';

/** Largest body read, in octets; a title stands at the beginning. */
const BODY_LIMIT = 256 * 1024;
/** Largest header block, in octets. */
const HEADER_LIMIT = 16 * 1024;

export interface HttpReply {
  readonly outcome: 'answered';
  readonly status: number;
  readonly statusText: string;
  readonly headers: IncomingMessage['headers'];
  /** Wall clock when the header had come, in milliseconds. */
  readonly receivedAtMs: number;
  readonly body: Uint8Array;
  /** The body was longer or slower than we read. */
  readonly cut: boolean;
  /** It still came when the time was up. */
  readonly late: boolean;
  readonly certificate: Uint8Array | undefined;
}

/** tls: TLS is spoken, and no HTTP came over it. What TLS told is kept even where HTTP told nothing. */
export type NoHttp = {
  readonly outcome: 'other-protocol' | 'silent' | 'tls';
  readonly cause: Cause;
  readonly detail: string;
  readonly certificate: Uint8Array | undefined;
  /** Another connection may bring more. */
  readonly again?: boolean;
};

export type HttpOutcome = HttpReply | Refusal | NoHttp;

/** Whether the other side has said anything at all. */
export function quiet(plain: Socket): Cause {
  return plain.bytesRead === 0 ? 'accepted-and-silent' : 'timeout';
}

/** `socket` is `plain` itself or TLS over it. The caller destroys both. */
export function askHttp(
  place: HttpPlace,
  socket: Socket,
  plain: Socket,
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
    const silent = (cause: Cause, detail = 'connected, no HTTP answer') =>
      finish({ outcome: 'silent', cause, detail, certificate });
    const onAbort = () => silent(certificate === undefined ? quiet(plain) : 'accepted-and-silent');
    signal.addEventListener('abort', onAbort, { once: true });
    client.on('error', (error) => finish(failure(error, certificate)));
    client.once('response', (response) => {
      const receivedAtMs = Date.now();
      signal.removeEventListener('abort', onAbort);
      readBody(response, signal, (read) =>
        finish({
          outcome: 'answered',
          status: response.statusCode ?? 0,
          statusText: response.statusMessage ?? '',
          headers: response.headers,
          receivedAtMs,
          ...read,
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
  done: (read: Pick<HttpReply, 'body' | 'cut' | 'late'>) => void,
): void {
  const chunks: Buffer[] = [];
  let length = 0;
  const finish = (cut: boolean, late = false) => {
    signal.removeEventListener('abort', onAbort);
    response.removeAllListeners('data');
    done({ body: Buffer.concat(chunks).subarray(0, BODY_LIMIT), cut, late });
  };
  const onAbort = () => finish(true, true);
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
  if (code === 'HPE_HEADER_OVERFLOW') {
    const detail = `header block above ${HEADER_LIMIT} octets`;
    return { outcome: 'other-protocol', cause: 'too-much', detail, certificate };
  }
  if (code.startsWith('HPE_')) {
    const raw =
      typeof error === 'object' && error !== null && 'rawPacket' in error ? error.rawPacket : undefined;
    const detail = looksLikeTls(raw)
      ? 'TLS speaks there, not plain HTTP'
      : 'something else than HTTP speaks there';
    return { outcome: 'other-protocol', cause: 'other-protocol', detail, certificate };
  }
  if (code === 'ECONNRESET' || code === 'EPIPE') {
    const cause = closeCause(error);
    const detail = 'connected, then closed without an HTTP answer';
    // It may have been about to move its address, or to start anew: one more connection tells.
    return { outcome: 'silent', cause, detail, certificate, again: true };
  }
  if (code.startsWith('ERR_SSL_')) {
    // In version 1.3 a server that wants a certificate of ours says so when the handshake is over already for us (RFC 8446 §4.4.2.4).
    const { outcome, cause, detail } = tlsFailureOf(error);
    return { outcome: outcome === 'closed' ? 'silent' : outcome, cause, detail, certificate };
  }
  const refusal = refusalOf(error);
  return refusal.outcome === 'not-run' || refusal.outcome === 'unreachable'
    ? { outcome: 'silent', cause: refusal.cause, detail: 'connected, no HTTP answer', certificate }
    : refusal;
}
