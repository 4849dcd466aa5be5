/** TLS over a connection that stands. Identification only, so old and weak management processors are spoken to as well. */
import { constants } from 'node:crypto';
import type { Socket } from 'node:net';
import { type ConnectionOptions, connect, type TLSSocket } from 'node:tls';
import { CLOSED, type TlsFailure, tlsFailureOf } from './tls-failure.js';

export type Secured =
  | { readonly outcome: 'secured'; readonly socket: TLSSocket; readonly certificate: Uint8Array | undefined }
  | (TlsFailure & { readonly certificate: Uint8Array | undefined })
  | { readonly outcome: 'interrupted' };

/**
 * How a handshake is tried. First all versions that Node has, without a name: the plan knows addresses. Then with a name, since some
 * servers want one whatever it says (RFC 6066 §3), and without TLS 1.3, which some old ones take for nonsense.
 */
export const TLS_TRIES: readonly Partial<ConnectionOptions>[] = [
  {},
  { maxVersion: 'TLSv1.2', servername: 'matchmark.example' },
];

/** `signal` ends the wait; the caller destroys `socket` in every case. */
export function secure(
  socket: Socket,
  signal: AbortSignal,
  how: Partial<ConnectionOptions> = {},
): Promise<Secured> {
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
      ...how,
    });
    const finish = (result: Secured) => {
      signal.removeEventListener('abort', onAbort);
      socket.removeListener('close', onClose);
      if (result.outcome !== 'secured') tls.destroy();
      resolve(result);
    };
    const onAbort = () => finish({ outcome: 'interrupted' });
    const onClose = () => finish({ ...CLOSED, certificate: undefined });
    signal.addEventListener('abort', onAbort, { once: true });
    socket.once('close', onClose);
    // Stays for the life of the socket, whoever owns it. Before version 1.3 a server that refuses ours has shown its own certificate.
    tls.on('error', (error) => finish({ ...tlsFailureOf(error), certificate: certificateOf(tls) }));
    tls.once('secureConnect', () =>
      finish({ outcome: 'secured', socket: tls, certificate: certificateOf(tls) }),
    );
    if (signal.aborted) onAbort();
  });
}

function certificateOf(tls: TLSSocket): Uint8Array | undefined {
  // Null once the connection is gone.
  const certificate: { readonly raw?: Uint8Array } | null = tls.getPeerCertificate(false);
  return certificate?.raw;
}
