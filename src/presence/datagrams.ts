/** The datagrams that make the kernel ask who has an address. node:dgram, no rights needed. */
import { createSocket, type Socket } from 'node:dgram';
import { familyOf } from '../plan/address.js';

/** The discard port (RFC 863): whatever listens there throws away what comes. */
const DISCARD = 9;
const NOTHING = new Uint8Array(0);

export interface Datagrams {
  /** Hands one empty datagram to the kernel, which has to find the neighbour first. An IPv6 link-local address comes with its port. */
  send(address: string): Promise<SendOutcome>;
  /** Sends one and waits for an ICMP "port unreachable" or an answer: either shows the device alive. */
  provoke(address: string, timeoutMs: number, signal: AbortSignal): Promise<'alive' | 'silent'>;
  close(): void;
}

/**
 * full: the neighbour table or a queue has no room just now. down: the system remembers that nobody answered its last question, and asks
 * again after a while (EHOSTDOWN, macOS). away: the port has no link, or lost its address. unreachable: "no route to host" at once. refused: the system does not send there.
 */
export type SendOutcome = 'sent' | 'full' | 'down' | 'away' | 'unreachable' | 'refused';

const NO_ROOM = ['ENOBUFS', 'ENOMEM', 'EAGAIN', 'EMFILE'];
/** For an address of the own link: its route went with the port (ip(7), connect(2)). */
const AWAY = ['ENETDOWN', 'ENETUNREACH', 'EADDRNOTAVAIL', 'ENODEV', 'ENXIO'];

/**
 * Datagrams that wait for a neighbour fill the send buffer of their socket (212,992 octets on Linux, about 270 datagrams), and the next
 * one would wait for seconds: so a socket is used for this many and then another.
 */
const SENDS_PER_SOCKET = 100;
/** A datagram that the system has not taken by then is told as `full`, in milliseconds. */
const TAKEN_MS = 500;

export function openDatagrams(): Datagrams {
  const current = new Map<4 | 6, UsedSocket>();
  const all = new Set<UsedSocket>();
  const retire = (used: UsedSocket): void => {
    if (used.sends < SENDS_PER_SOCKET || used.pending > 0) return;
    used.socket.close();
    all.delete(used);
  };
  const socketFor = (family: 4 | 6): UsedSocket => {
    const known = current.get(family);
    if (known !== undefined && known.sends < SENDS_PER_SOCKET) return known;
    const used = { socket: createSocket(family === 4 ? 'udp4' : 'udp6'), sends: 0, pending: 0 };
    // An error of a datagram sent before shows up here; send's own callback tells those that matter.
    used.socket.on('error', () => {});
    current.set(family, used);
    all.add(used);
    return used;
  };
  return {
    send: (address) =>
      new Promise((resolve) => {
        const used = socketFor(familyOf(address));
        const timer = setTimeout(() => resolve('full'), TAKEN_MS);
        const end = (error: unknown): void => {
          clearTimeout(timer);
          used.pending -= 1;
          resolve(outcomeOf(error));
          if (all.has(used)) retire(used);
        };
        used.sends += 1;
        used.pending += 1;
        try {
          used.socket.send(NOTHING, DISCARD, address, end);
        } catch (error) {
          end(error);
        }
      }),
    provoke,
    close: () => {
      for (const used of all) used.socket.close();
      all.clear();
      current.clear();
    },
  };
}

interface UsedSocket {
  readonly socket: Socket;
  sends: number;
  pending: number;
}

function provoke(address: string, timeoutMs: number, signal: AbortSignal): Promise<'alive' | 'silent'> {
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

export function outcomeOf(error: unknown): SendOutcome {
  if (error === null || error === undefined) return 'sent';
  const code = codeOf(error) ?? '';
  if (NO_ROOM.includes(code)) return 'full';
  if (AWAY.includes(code)) return 'away';
  if (code === 'EHOSTDOWN') return 'down';
  return code === 'EHOSTUNREACH' ? 'unreachable' : 'refused';
}

function codeOf(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error ? String(error.code) : undefined;
}
