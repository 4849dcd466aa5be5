/**
 * Whether two loopback addresses are there, and two. Linux and Windows have all of 127.0.0.0/8, macOS 127.0.0.1 alone. Wine takes all of
 * them for UDP as one, so that a port that is taken at the first is taken at the second.
 */
import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import net, { type AddressInfo } from 'node:net';
import { listen } from './listening.js';

export async function areApart(first: string, second: string): Promise<boolean> {
  return (await areApartForTcp(first, second)) && (await areApartForUdp(first, second));
}

async function areApartForTcp(first: string, second: string): Promise<boolean> {
  const server = net.createServer();
  try {
    const one = await listen(server, { address: first, port: 0 });
    const { port } = server.address() as AddressInfo;
    const other = await listen(net.createServer(), { address: second, port }).catch(() => undefined);
    await Promise.all([one.stop(), other?.stop()]);
    return other !== undefined;
  } catch {
    return false;
  }
}

async function areApartForUdp(first: string, second: string): Promise<boolean> {
  const sockets = [createSocket('udp4'), createSocket('udp4')] as const;
  const bound = (socket: (typeof sockets)[number], address: string, port: number): Promise<unknown> => {
    const listening = once(socket, 'listening');
    socket.bind({ address, port, exclusive: true });
    return listening;
  };
  try {
    await bound(sockets[0], first, 0);
    await bound(sockets[1], second, sockets[0].address().port);
    return true;
  } catch {
    return false;
  } finally {
    for (const socket of sockets) socket.close();
  }
}
