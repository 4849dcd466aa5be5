/** Servers of the tests' own on 127.0.0.1, port 0, and what a test needs to see that nothing is left behind. */
import { createServer, type Server, type Socket } from 'node:net';
import type { PlannedService } from '../../src/plan/model.js';

export const ADDRESS = '127.0.0.1';
export const PATIENCE = { timeoutMs: 300, attempts: 1 } as const;

export interface Listening {
  readonly port: number;
  /** Connections taken so far. */
  readonly taken: () => number;
  /** Resolves when no connection is open. */
  readonly idle: () => Promise<void>;
  close(): Promise<void>;
}

export function portOf(server: { address(): unknown }): number {
  const address = server.address();
  if (typeof address === 'object' && address !== null && 'port' in address) return Number(address.port);
  throw new Error('the server does not listen');
}

/** Follows a server's connections and lets go of them all at the end. */
export async function listen(server: Server, address = ADDRESS): Promise<Listening> {
  const open = new Set<Socket>();
  let taken = 0;
  server.on('connection', (socket) => {
    taken += 1;
    open.add(socket);
    socket.on('error', () => {});
    socket.once('close', () => open.delete(socket));
  });
  await new Promise<void>((resolve) => server.listen(0, address, resolve));
  return {
    port: portOf(server),
    taken: () => taken,
    idle: async () => {
      while (open.size > 0) await new Promise((resolve) => setTimeout(resolve, 5));
    },
    close: () => {
      for (const socket of open) socket.destroy();
      return new Promise((resolve) => {
        server.close(() => resolve());
      });
    },
  };
}

export function tcpServer(onSocket: (socket: Socket) => void): Promise<Listening> {
  return listen(
    createServer((socket) => {
      onSocket(socket);
      // Unread data would hide the other side's close.
      socket.resume();
    }),
  );
}

/** A port of 127.0.0.1 that nothing listens on. */
export async function closedPort(): Promise<number> {
  const server = await tcpServer(() => {});
  await server.close();
  return server.port;
}

export function service(name: string, port: number): PlannedService {
  return { name, protocol: name === 'snmp' ? 'udp' : 'tcp', port };
}

export function never(): AbortSignal {
  return new AbortController().signal;
}
