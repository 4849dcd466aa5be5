import net from 'node:net';
import { type Listening, listen, type Place } from './listening.js';

/** An SSH server as far as its identification line (RFC 4253 §4.2); it goes no further. */
export function serveSshLine(place: Place, comment: string): Promise<Listening> {
  return listen(
    net.createServer((socket) => {
      socket.end(`SSH-2.0-HarbourDemo_1 ${comment}\r\n`);
    }),
    place,
  );
}

/** Takes every connection and never says a word. */
export function serveSilence(place: Place): Promise<Listening> {
  return listen(
    net.createServer((socket) => {
      socket.resume();
    }),
    place,
  );
}
