/** Asks, without any secret, whether an SNMPv3 agent lives at an address; and tells a closed port from silence. */
import { randomInt } from 'node:crypto';
import { createSocket, type Socket } from 'node:dgram';
import { INTERRUPTED, refusalOf } from '../probe/refusal.js';
import type { Probe } from '../probe/types.js';
import type { Cause, NotRun } from '../sighting/types.js';
import { decodeDiscovery, encodeDiscovery } from '../wire/snmp-discovery.js';

export type EngineAnswer =
  | { readonly outcome: 'engine'; readonly engineId: string }
  | {
      readonly outcome: 'other-protocol' | 'refused' | 'unreachable' | 'no-reply';
      readonly cause: Cause;
      readonly detail: string;
    }
  | NotRun;

/**
 * The socket is connected, so that the system hands over the ICMP error of a closed port (RFC 1122 §3.2.2.1: type 3 code 3 comes
 * from the final host) and nobody else's datagrams. Windows keeps that error to itself (common practice, no source): there a closed
 * port is silence like any other, and costs one patience.
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
    let answered: 'garbage' | 'other-id' | undefined;
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
      if (sent >= Math.max(1, patience.attempts)) return finish(nothing(answered));
      sent += 1;
      timer = setTimeout(next, patience.timeoutMs);
      // A socket that lost its way throws at once; one that is full, or whose port went away, says so later.
      try {
        socket.send(question, (error) => {
          if (error) onError(error);
        });
      } catch (error) {
        onError(error);
      }
    };

    signal.addEventListener('abort', onAbort, { once: true });
    socket.on('error', onError);
    socket.on('message', (bytes) => {
      const found = decodeDiscovery(bytes);
      if (found.kind !== 'engine') answered = 'garbage';
      else if (found.messageId === messageId) finish({ outcome: 'engine', engineId: found.engineId });
      else answered ??= 'other-id';
    });
    // Node calls back with the error of a connect that failed: no route, no link, a broadcast address, a port without its zone.
    const connected = (error?: Error | null): void => (error ? onError(error) : next());
    socket.connect(target.port, target.address, connected as () => void);
  });
};

function nothing(answered: 'garbage' | 'other-id' | undefined): EngineAnswer {
  switch (answered) {
    case 'garbage':
      return {
        outcome: 'other-protocol',
        cause: 'malformed',
        detail: 'something answered, but not in SNMPv3',
      };
    case 'other-id':
      return {
        outcome: 'no-reply',
        cause: 'malformed',
        detail: 'answers to other questions came, none to ours',
      };
    default:
      return { outcome: 'no-reply', cause: 'timeout', detail: 'no answer' };
  }
}

function refusedBy(error: unknown): EngineAnswer {
  const refusal = refusalOf(error);
  return refusal.outcome === 'refused'
    ? { outcome: 'refused', cause: 'port-unreachable', detail: 'port closed' }
    : refusal;
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
