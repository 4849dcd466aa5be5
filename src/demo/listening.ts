/** Servers of the site that can be stopped whole: the port and every connection it took. */
import type { Server, Socket } from 'node:net';

export interface Place {
  readonly address: string;
  readonly port: number;
}

export interface Listening {
  stop(): Promise<void>;
}

/** Resolves once the port is taken; rejects with the system's error where it cannot be. */
export function listen(server: Server, { address, port }: Place): Promise<Listening> {
  const sockets = new Set<Socket>();
  server.on('connection', (socket: Socket) => {
    sockets.add(socket);
    // A probe may reset at any moment; that is its right.
    socket.on('error', () => socket.destroy());
    socket.once('close', () => sockets.delete(socket));
  });
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen({ host: address, port, exclusive: true }, () => {
      server.off('error', reject);
      server.on('error', () => {});
      resolve({
        stop: () =>
          new Promise((stopped) => {
            server.close(() => stopped());
            for (const socket of sockets) socket.destroy();
          }),
      });
    });
  });
}
