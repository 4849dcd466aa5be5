import type { Socket } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { identification, proveSsh } from '../../src/probe/ssh.js';
import { ADDRESS, closedPort, never, PATIENCE, service, tcpServer } from './loopback.js';

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

async function ask(greet: (socket: Socket) => void) {
  const server = await tcpServer(greet);
  closers.push(server.close);
  const target = { address: ADDRESS, service: service('ssh', server.port) };
  return { ...(await proveSsh(target, PATIENCE, never())), port: server.port };
}

describe('proveSsh', () => {
  it('keeps the identification line, and says nothing itself', async () => {
    let heard = '';
    const { proof, identity, port } = await ask((socket) => {
      socket.on('data', (bytes) => {
        heard += bytes;
      });
      socket.write('SSH-2.0-loft_1 first device\r\n');
    });
    expect(proof).toMatchObject({ outcome: 'proven', detail: 'SSH-2.0-loft_1 first device' });
    expect(identity?.ssh).toEqual({ line: 'SSH-2.0-loft_1 first device', port });
    expect(heard).toBe('');
  });

  it('puts a line together that comes in pieces', async () => {
    const { proof } = await ask((socket) => {
      socket.write('SSH-2.0');
      setTimeout(() => socket.write('-slow\n'), 50);
    });
    expect(proof).toMatchObject({ outcome: 'proven', detail: 'SSH-2.0-slow' });
  });

  it.each([
    ['another protocol', '220 mail\r\n', 'other-protocol'],
    ['an unfinished line', 'SSH-2.0-never ends', 'other-protocol'],
    ['a flood', 'x'.repeat(20_000), 'other-protocol'],
    ['lines without end', 'banner\r\n'.repeat(500), 'other-protocol'],
  ])('%s is no proof', async (_, text, outcome) => {
    expect((await ask((socket) => socket.write(text))).proof.outcome).toBe(outcome);
  });

  it('tells a close without an answer from silence', async () => {
    expect((await ask((socket) => socket.end())).proof).toMatchObject({
      outcome: 'silent',
      detail: 'connected, then closed without an answer',
    });
    expect((await ask(() => {})).proof).toMatchObject({
      outcome: 'silent',
      detail: 'connected, no identification line',
    });
  });

  it('a closed port is refused', async () => {
    const target = { address: ADDRESS, service: service('ssh', await closedPort()) };
    expect((await proveSsh(target, PATIENCE, never())).proof.outcome).toBe('refused');
  });
});

// RFC 4253 §4.2: other lines may come first and must not begin with SSH-; CR LF ends it; at most 255 characters with CR LF.
describe('identification', () => {
  it.each([
    ['SSH-2.0-a\r\n', 'SSH-2.0-a'],
    ['hello\r\nworld\r\nSSH-1.99-b c\r\nrest', 'SSH-1.99-b c'],
    ['SSH-2.0-a\n', 'SSH-2.0-a'],
    ['SSH-2.0-a', undefined],
    [`SSH-2.0-${'a'.repeat(300)}\r\n`, undefined],
    ['', undefined],
  ])('%j', (text, line) => {
    expect(identification(text)).toBe(line);
  });
});
