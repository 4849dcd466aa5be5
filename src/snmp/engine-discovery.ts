/** Asks, without any secret, whether an SNMPv3 agent lives at an address; and tells a closed port from silence. */
import { randomInt } from 'node:crypto';
import { createSocket, type Socket } from 'node:dgram';
import { INTERRUPTED, refusalOf } from '../probe/refusal.js';
import type { Probe } from '../probe/types.js';
import { decodeDiscovery, encodeDiscovery } from '../wire/snmp-discovery.js';

export type EngineAnswer =
  | { readonly outcome: 'engine'; readonly engineId: string }
  | { readonly outcome: 'other-protocol' | 'refused' | 'unreachable' | 'no-reply'; readonly detail: string }
  | { readonly outcome: 'not-run'; readonly reason: string; readonly mend?: string | undefined };

/**
 * The socket is connected, so that the system hands over the ICMP error of a closed port (RFC 1122 §3.2.2.1: type 3 code 3 comes
 * from the final host) and nobody else's datagrams.
 */
export const discoverEngine: Probe<{ readonly address: string; readonly port: number }, EngineAnswer> = (
  target,
  patience,
  signal,
) => {
  if (signal.aborted) return Promise.resolve(INTERRUPTED);
  return new Promise((resolve) => {
    const socket = createSocket(target.address.includes(':') ? 'udp6' : 'udp4');
    const messageId = randomInt(1, 0x7fffffff);
    const question = encodeDiscovery(messageId);
    let sent = 0;
    let garbage = false;
    let timer: NodeJS.Timeout | undefined;

    const finish = (answer: EngineAnswer) => {
      clearTimeout(timer);
      signal.removeEventListener('abort', onAbort);
      closeQuietly(socket);
      resolve(answer);
    };
    const onAbort = () => finish(INTERRUPTED);
    const onError = (error: unknown) => finish(refusedBy(error));
    const next = () => {
      if (sent >= Math.max(1, patience.attempts)) {
        finish(
          garbage
            ? { outcome: 'other-protocol', detail: 'something answered, but not in SNMPv3' }
            : { outcome: 'no-reply', detail: 'no answer' },
        );
        return;
      }
      sent += 1;
      timer = setTimeout(next, patience.timeoutMs);
      socket.send(question, (error) => {
        if (error) onError(error);
      });
    };

    signal.addEventListener('abort', onAbort, { once: true });
    socket.on('error', onError);
    socket.on('message', (bytes) => {
      const found = decodeDiscovery(bytes);
      if (found.kind === 'engine' && found.messageId === messageId) {
        finish({ outcome: 'engine', engineId: found.engineId });
      } else {
        garbage = true;
      }
    });
    socket.connect(target.port, target.address, next);
  });
};

function refusedBy(error: unknown): EngineAnswer {
  const refusal = refusalOf(error);
  if (refusal.outcome === 'not-run') return refusal;
  return { outcome: refusal.outcome, detail: refusal.outcome === 'refused' ? 'port closed' : refusal.detail };
}

function closeQuietly(socket: Socket): void {
  socket.removeAllListeners();
  socket.on('error', () => {});
  try {
    socket.close();
  } catch {
    // already closed
  }
}
