import https from 'node:https';
import net from 'node:net';
import { programs } from '../../src/system/programs.js';

/** Ports of the tests: away from those that a demo of somebody at this laptop has. */
export const TEST_BASES = [23_000, 33_000, 43_000];

export interface Page {
  readonly body: string;
  readonly commonName: string;
}

export function getPage(address: string, port: number, path = '/'): Promise<Page> {
  return new Promise((resolve, reject) => {
    const request = https.get(
      { host: address, port, path, rejectUnauthorized: false, agent: false },
      (response) => {
        const socket = response.socket as import('node:tls').TLSSocket;
        const commonName = String(socket.getPeerCertificate().subject.CN);
        let body = '';
        response.setEncoding('utf8');
        response.on('data', (chunk: string) => {
          body += chunk;
        });
        response.on('end', () => resolve({ body, commonName }));
      },
    );
    request.on('error', reject);
  });
}

/** What a port does within a short while: its first words, `silent` or the error code. */
export function firstWords(address: string, port: number): Promise<string> {
  return new Promise((resolve) => {
    const socket = net.connect({ host: address, port });
    const finish = (text: string) => {
      socket.destroy();
      resolve(text);
    };
    socket.setTimeout(400, () => finish('silent'));
    socket.on('data', (chunk) => finish(chunk.toString('latin1')));
    socket.on('error', (error: NodeJS.ErrnoException) => finish(error.code ?? 'error'));
  });
}

/** Output of an outside program; undefined where it is not installed. */
export async function outside(command: string, args: readonly string[]): Promise<string | undefined> {
  const result = await programs.run(command, args, { timeoutMs: 10_000 });
  return result.ran ? `${result.stdout}\n${result.stderr}` : undefined;
}
