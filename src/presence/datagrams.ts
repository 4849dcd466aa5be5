/** The datagrams that make the kernel ask who has an address. node:dgram, no rights needed. */
import { createSocket, type Socket } from 'node:dgram';
import { familyOf } from '../plan/address.js';

/** The discard port (RFC 863): whatever listens there throws away what comes. */
const DISCARD = 9;
const NOTHING = new Uint8Array(0);

export interface Datagrams {
  /**
   * Hands one empty datagram to the kernel, which has to find the neighbour first. `full`: its neighbour table or queue has no room
   * just now. `zone` names the port for an IPv6 link-local address.
   */
  send(address: string, zone?: string): Promise<'sent' | 'full' | 'refused'>;
  /** Sends one and waits for an ICMP "port unreachable" or an answer: either shows the box alive. */
  knock(address: string, timeoutMs: number, signal: AbortSignal): Promise<'alive' | 'silent'>;
  close(): void;
}

const NO_ROOM = ['ENOBUFS', 'ENOMEM', 'EAGAIN', 'EMFILE'];

export function openDatagrams(): Datagrams {
  const sockets = new Map<4 | 6, Socket>();
  const socketFor = (family: 4 | 6): Socket => {
    const known = sockets.get(family);
    if (known !== undefined) return known;
    const socket = createSocket(family === 4 ? 'udp4' : 'udp6');
    // An error of a datagram sent before shows up here; send's own callback tells those that matter.
    socket.on('error', () => {});
    sockets.set(family, socket);
    return socket;
  };
  return {
    send: (address, zone) =>
      new Promise((resolve) => {
        const target = zone !== undefined && /^fe[89ab]/i.test(address) ? `${address}%${zone}` : address;
        try {
          socketFor(familyOf(address)).send(NOTHING, DISCARD, target, (error) => {
            resolve(error === null ? 'sent' : isNoRoom(error) ? 'full' : 'refused');
          });
        } catch (error) {
          resolve(isNoRoom(error) ? 'full' : 'refused');
        }
      }),
    knock,
    close: () => {
      for (const socket of sockets.values()) socket.close();
      sockets.clear();
    },
  };
}

function knock(address: string, timeoutMs: number, signal: AbortSignal): Promise<'alive' | 'silent'> {
  return new Promise((resolve) => {
    const socket = createSocket(familyOf(address) === 4 ? 'udp4' : 'udp6');
    let over = false;
    const end = (outcome: 'alive' | 'silent'): void => {
      if (over) return;
      over = true;
      clearTimeout(timer);
      signal.removeEventListener('abort', onAbort);
      socket.close();
      resolve(outcome);
    };
    const onAbort = (): void => end('silent');
    const timer = setTimeout(onAbort, timeoutMs);
    signal.addEventListener('abort', onAbort, { once: true });
    socket.on('message', () => end('alive'));
    socket.on('error', (error) => end(codeOf(error) === 'ECONNREFUSED' ? 'alive' : 'silent'));
    // A connected socket is told of ICMP errors (RFC 1122 §4.1.3.3).
    socket.connect(DISCARD, address, (error?: Error) => {
      if (error !== undefined && error !== null) end('silent');
      else if (!over) socket.send(NOTHING, () => {});
    });
    if (signal.aborted) onAbort();
  });
}

function isNoRoom(error: unknown): boolean {
  return NO_ROOM.includes(codeOf(error) ?? '');
}

function codeOf(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error ? String(error.code) : undefined;
}
