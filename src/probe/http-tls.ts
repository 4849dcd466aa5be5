/** TLS over a connection that stands. Identification only, so old and weak management processors are spoken to as well. */
import { constants } from 'node:crypto';
import type { Socket } from 'node:net';
import { connect, type TLSSocket } from 'node:tls';
import { errorCode } from './refusal.js';

export type Secured =
  | { readonly outcome: 'secured'; readonly socket: TLSSocket; readonly certificate: Uint8Array | undefined }
  | { readonly outcome: 'other-protocol' | 'silent' | 'closed'; readonly detail: string };

/** `signal` ends the wait; the caller destroys `socket` in every case. */
export function secure(socket: Socket, signal: AbortSignal): Promise<Secured> {
  return new Promise((resolve) => {
    const tls = connect({
      socket,
      // Who it is, is the question; the answer is compared with the plan, not with an authority.
      rejectUnauthorized: false,
      minVersion: 'TLSv1',
      ciphers: 'DEFAULT:@SECLEVEL=0',
      // Peers without RFC 5746, and short Diffie-Hellman groups (512 bits), which this system would not talk to by itself.
      secureOptions: constants.SSL_OP_LEGACY_SERVER_CONNECT,
      minDHSize: 512,
    });
    const finish = (result: Secured) => {
      signal.removeEventListener('abort', onAbort);
      socket.removeListener('close', onClose);
      if (result.outcome !== 'secured') tls.destroy();
      resolve(result);
    };
    const onAbort = () => finish({ outcome: 'silent', detail: 'TLS was not answered' });
    const onClose = () => finish({ outcome: 'closed', detail: 'closed during the TLS handshake' });
    signal.addEventListener('abort', onAbort, { once: true });
    socket.once('close', onClose);
    // Stays for the life of the socket, whoever owns it.
    tls.on('error', (error) => finish(handshakeFailure(error)));
    tls.once('secureConnect', () =>
      finish({ outcome: 'secured', socket: tls, certificate: tls.getPeerCertificate(false).raw }),
    );
    if (signal.aborted) onAbort();
  });
}

/** An alert proves that TLS lives there; anything unreadable proves that something else does. */
function handshakeFailure(error: unknown): Secured {
  const code = errorCode(error);
  if (
    /WRONG_VERSION_NUMBER|HTTP_REQUEST|PACKET_LENGTH|UNEXPECTED_MESSAGE|BAD_RECORD|RECORD_LAYER|NOT_SSL|BAD_PACKET/.test(
      code,
    )
  ) {
    return { outcome: 'other-protocol', detail: 'something else than TLS speaks there' };
  }
  if (code === 'ECONNRESET' || code === 'EPIPE') {
    return { outcome: 'closed', detail: 'closed during the TLS handshake' };
  }
  return { outcome: 'other-protocol', detail: `no common TLS (${code === '' ? 'handshake failed' : code})` };
}
